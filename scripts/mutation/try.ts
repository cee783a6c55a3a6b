import { spawn } from "node:child_process";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { MutationError } from "./fault.ts";
import { LEFT_OUT } from "./list.ts";
import { type Mutant, type Place, mutantKey } from "./mutant.ts";
import type { Workshop } from "./workshop.ts";

/** What became of a mutant; the words are the tool's. `NoCoverage`: no test runs the place at all. */
export type Status = "Killed" | "Survived" | "Timeout" | "NoCoverage" | "CompileError" | "RuntimeError";

export interface Tried {
  readonly mutant: Mutant;
  readonly status: Status;
}

interface Report {
  readonly files: Record<
    string,
    {
      readonly mutants: readonly {
        readonly location: Place;
        readonly mutatorName: string;
        readonly replacement: string;
        readonly status: Status;
      }[];
    }
  >;
}

/** The place as the tool wants a range: the mutants nested in it come along, and the runner passes over those. */
function rangeOf({ file, place: { start, end } }: Mutant): string {
  return `${file}:${start.line}:${start.column}-${end.line}:${end.column}`;
}

/** Runs the tool in the copy and waits for it; its own words go to standard error. */
async function runTool({ tools, copy }: Workshop, sampleFile: string): Promise<void> {
  const bin = join(tools, "node_modules/@stryker-mutator/core/bin/stryker.js");
  const child = spawn(process.execPath, [bin, "run", "mutation.config.json"], {
    cwd: copy,
    env: { ...process.env, ENDPAIR_MUTATION_SAMPLE: sampleFile, ENDPAIR_REAL_DATA: join(copy, "none") },
    stdio: ["ignore", process.stderr, process.stderr],
  });
  // Ended from outside, the run would otherwise leave the tool and its workers at work.
  const end = (): boolean => child.kill("SIGTERM");
  process.once("SIGTERM", end).once("SIGINT", end);
  await new Promise<void>((settle, fail) => child.on("error", fail).on("exit", () => settle()));
  process.off("SIGTERM", end).off("SIGINT", end);
}

/**
 * Tries each mutant of the sample against the tests that run its place, until one of them fails.
 *
 * @param concurrency – how many mutants are tried at a time.
 * @throws MutationError `no-report` when the tool ends without one: a test failed without any mutant, or it crashed.
 */
export async function tryMutants(
  workshop: Workshop,
  sample: readonly Mutant[],
  concurrency: number,
): Promise<readonly Tried[]> {
  const { copy, runner } = workshop;
  const keys = new Set(sample.map(mutantKey));
  const sampleFile = join(copy, "sample.json");
  const reportFile = join(copy, "report.json");
  const config = {
    testRunner: "sampled-vitest",
    plugins: [runner],
    vitest: { configFile: "vitest.config.mjs", related: false },
    mutate: [...new Set(sample.map(rangeOf))],
    mutator: { excludedMutations: LEFT_OUT },
    coverageAnalysis: "perTest",
    concurrency,
    timeoutMS: 20_000,
    timeoutFactor: 3,
    reporters: ["json"],
    jsonReporter: { fileName: reportFile },
    tempDirName: ".tried",
    disableTypeChecks: false,
    thresholds: { break: null },
    allowEmpty: true,
    warnings: { slow: false },
  };
  writeFileSync(sampleFile, JSON.stringify([...keys]));
  writeFileSync(join(copy, "mutation.config.json"), JSON.stringify(config));
  await runTool(workshop, sampleFile);
  if (!existsSync(reportFile))
    throw new MutationError("no-report", "The mutation run ended without a report: read its last lines above.");
  const { files } = JSON.parse(readFileSync(reportFile, "utf8")) as Report;
  return Object.entries(files).flatMap(([file, { mutants }]) =>
    mutants.flatMap(({ location: { start, end }, mutatorName, replacement, status }) => {
      const place = { start: { ...start, column: start.column - 1 }, end: { ...end, column: end.column - 1 } };
      const mutant = { file, place, kind: mutatorName, replacement };
      return keys.has(mutantKey(mutant)) ? [{ mutant, status }] : [];
    }),
  );
}
