import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Mutant, Place } from "./mutant.ts";
import { type Workshop, filesToMutate } from "./workshop.ts";

/** Kinds of change that are left out: a rule's sentence says something to a reader, and no test should pin its words. */
export const LEFT_OUT = ["StringLiteral"];

interface ToolFile {
  readonly name: string;
  readonly mutate: true;
  readonly content: string;
}
/** What the tool says of a mutant: lines and columns from 0; a status when it is left out. */
interface ToolMutant {
  readonly fileName: string;
  readonly location: Place;
  readonly mutatorName: string;
  readonly replacement: string;
  readonly status?: string;
}
interface Instrumenter {
  instrument(files: readonly ToolFile[], options: object): Promise<{ readonly mutants: readonly ToolMutant[] }>;
}
interface InstrumenterModule {
  readonly Instrumenter: new (log: object) => Instrumenter;
}

const quiet = (): void => undefined;
const LOG = { debug: quiet, info: quiet, warn: quiet, isDebugEnabled: () => false };

/** Every mutant of the two folders that counts, in the order of the files; nothing is run. */
export async function listMutants(workshop: Workshop): Promise<readonly Mutant[]> {
  const path = join(workshop.tools, "node_modules/@stryker-mutator/instrumenter/dist/src/index.js");
  const { Instrumenter } = (await import(pathToFileURL(path).href)) as InstrumenterModule;
  const files = filesToMutate(workshop).map((name) => ({
    name,
    mutate: true as const,
    content: readFileSync(join(workshop.copy, name), "utf8"),
  }));
  const options = { excludedMutations: LEFT_OUT, ignorers: [], plugins: null };
  const { mutants } = await new Instrumenter(LOG).instrument(files, options);
  return mutants
    .filter((m) => m.status === undefined)
    .map((m) => ({
      file: m.fileName,
      place: {
        start: { line: m.location.start.line + 1, column: m.location.start.column },
        end: { line: m.location.end.line + 1, column: m.location.end.column },
      },
      kind: m.mutatorName,
      replacement: m.replacement,
    }));
}
