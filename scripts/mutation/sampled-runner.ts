import { appendFileSync, readFileSync } from "node:fs";

// Written as JavaScript beside the tool and loaded by its workers, so it may import nothing of ours.

interface RunOptions {
  readonly activeMutant: ToolMutant;
}
/** A mutant as the tool writes it: lines and columns from 0. */
interface ToolMutant {
  readonly fileName: string;
  readonly location: Record<"start" | "end", { readonly line: number; readonly column: number }>;
  readonly mutatorName: string;
  readonly replacement: string;
}
interface Runner {
  init?(): Promise<void>;
  dispose?(): Promise<void>;
  capabilities(): unknown;
  dryRun(options: unknown): Promise<unknown>;
  mutantRun(options: RunOptions): Promise<RunResult>;
}
interface RunResult {
  readonly status: string;
  readonly nrOfTests?: number;
}
interface Injector {
  injectFunction(factory: unknown): Runner;
}
interface RunnerModule {
  readonly strykerPlugins: readonly { readonly kind: string; readonly name: string; readonly factory: unknown }[];
  readonly strykerValidationSchema: unknown;
}

const vitestRunner = "@stryker-mutator/vitest-runner";
const inner = (await import(vitestRunner)) as RunnerModule;

/** Keys of the mutants to try. The tool itself can only choose a range of text, with all the mutants nested in it. */
const sampleFile = process.env["ENDPAIR_MUTATION_SAMPLE"] ?? "";
const sampled = new Set(JSON.parse(readFileSync(sampleFile, "utf8")) as string[]);

/**
 * A change that breaks the loading of the tests leaves none to run; the runner within takes that for survival, though
 * every run of the tests would fail.
 */
function noticed(result: RunResult): RunResult {
  if (result.status !== "survived" || result.nrOfTests !== 0) return result;
  const failureMessage = "The tests could not be loaded.";
  const killed = { status: "killed", nrOfTests: 0, killedBy: [] as string[], failureMessage };
  return killed;
}

/** The same words as the key the sample was written with. */
function keyOf({ fileName, location: { start, end }, mutatorName, replacement }: ToolMutant): string {
  const file = fileName.replaceAll("\\", "/").replace(/^.*?(?=model\/)/, "");
  return `${file}:${start.line + 1}:${start.column}-${end.line + 1}:${end.column} ${mutatorName} ${replacement}`;
}

class SampledRunner implements Runner {
  constructor(private readonly runner: Runner) {}
  async init(): Promise<void> {
    await this.runner.init?.();
  }
  async dispose(): Promise<void> {
    await this.runner.dispose?.();
  }
  capabilities(): unknown {
    return this.runner.capabilities();
  }
  dryRun(options: unknown): Promise<unknown> {
    return this.runner.dryRun(options);
  }
  async mutantRun(options: RunOptions): Promise<RunResult> {
    const key = keyOf(options.activeMutant);
    if (!sampled.has(key)) return { status: "survived", nrOfTests: 0 };
    const result = noticed(await this.runner.mutantRun(options));
    appendFileSync(`${sampleFile}.tried`, `${JSON.stringify({ key, status: result.status })}\n`);
    return result;
  }
}

function createSampledRunner(injector: Injector): Runner {
  return new SampledRunner(injector.injectFunction(inner.strykerPlugins[0]?.factory));
}
createSampledRunner.inject = ["$injector"] as const;

/** Plugin of the tool: vitest, but only mutants of the sample are tried. */
export const strykerPlugins = [{ kind: "TestRunner", name: "sampled-vitest", factory: createSampledRunner }];

/** Options of the runner within. */
export const strykerValidationSchema = inner.strykerValidationSchema;
