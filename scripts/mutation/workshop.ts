import { spawnSync } from "node:child_process";
import {
  cpSync,
  existsSync,
  mkdirSync,
  readFileSync,
  readdirSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, relative } from "node:path";
import ts from "typescript";
import { MutationError } from "./fault.ts";

/** The tool, pinned; it brings 140 packages, so the bench doesn't depend on it. */
const TOOLS = ["@stryker-mutator/core@9.6.1", "@stryker-mutator/vitest-runner@9.6.1"];

/** What is copied: the model, its tests, and of the samples the sheets alone. */
const COPIED = ["model", "tests/model", "tests/real-data.ts", "samples"];
const isWanted = (path: string): boolean =>
  !path.includes("/samples/") || path.endsWith("/sheet.json") || statSync(path).isDirectory();

/** Property tests are tried at most this often on each mutant. Fewer tries can only lower the score. */
const MOST_TRIES = 10;

/** All tests as one file: each mutant then loads the model once, not once for each test file. */
const ONE_FILE = "tests/together.test.ts";

/** Tests that take long and fail seldom: the others, which come first, end most trials before these begin. */
const LAST = "must-not-happen.test.ts";

const CONFIG = `import { defineConfig } from "vitest/config";
export default defineConfig({
  test: {
    include: ["${ONE_FILE}"],
    environment: "node",
    setupFiles: ["./mutation-setup.ts"],
    testTimeout: 30_000,
  },
});
`;

/** One seed for all property tests, and no shrinking: which example fails doesn't matter here. */
const SETUP = `import { configureGlobal } from "fast-check";
configureGlobal({ seed: 1, endOnFailure: true, numRuns: ${MOST_TRIES} });
`;

/** Folders of a run, outside the repository: vitest takes anything below node_modules for finished code. */
export interface Workshop {
  /** Holds the tool; kept between runs, so that it is fetched once. */
  readonly tools: string;
  /** Holds the copy of the model and its tests; made anew for each run. */
  readonly copy: string;
  /** The runner that tries the sample only, as plain JavaScript. */
  readonly runner: string;
}

function capTries(folder: string): void {
  for (const name of readdirSync(folder, { recursive: true, encoding: "utf8" })) {
    if (!name.endsWith(".test.ts")) continue;
    const path = join(folder, name);
    const text = readFileSync(path, "utf8");
    const capped = text.replace(
      /numRuns: (\d+)/g,
      (_all, runs: string) => `numRuns: ${Math.min(Number(runs), MOST_TRIES)}`,
    );
    if (capped !== text) writeFileSync(path, capped);
  }
}

function oneFile(copy: string): string {
  const names = ["knowledge", "evidence", "measure"].flatMap((folder) =>
    readdirSync(join(copy, "tests/model", folder))
      .filter((name) => name.endsWith(".test.ts"))
      .map((name) => `./model/${folder}/${name}`),
  );
  const ordered = [...names.filter((n) => !n.endsWith(LAST)), ...names.filter((n) => n.endsWith(LAST))];
  return ordered.map((name) => `import "${name}";\n`).join("");
}

/**
 * Copies the model and its tests to a temporary folder and installs the tool beside the copy.
 *
 * @throws MutationError `no-install` when the tool cannot be fetched.
 */
export function openWorkshop(root: string): Workshop {
  const base = join(tmpdir(), "endpair-mutation");
  const tools = join(base, "tools");
  const copy = join(base, `copy-${process.pid}`);
  mkdirSync(tools, { recursive: true });
  if (!existsSync(join(tools, "node_modules/@stryker-mutator/vitest-runner/package.json"))) {
    writeFileSync(join(tools, "package.json"), '{ "private": true, "type": "module" }\n');
    const npm = ["install", "--no-save", "--no-audit", "--no-fund", "--legacy-peer-deps", "--ignore-scripts", ...TOOLS];
    const done = spawnSync("npm", npm, { cwd: tools, stdio: ["ignore", "ignore", "inherit"] });
    if (done.status !== 0)
      throw new MutationError("no-install", `npm couldn't install ${TOOLS.join(" and ")}: see above, then try again.`);
  }
  const vitest = join(tools, "node_modules/vitest");
  rmSync(vitest, { force: true, recursive: true });
  symlinkSync(join(root, "node_modules/vitest"), vitest);

  rmSync(copy, { recursive: true, force: true });
  for (const part of COPIED) {
    mkdirSync(dirname(join(copy, part)), { recursive: true });
    cpSync(join(root, part), join(copy, part), { recursive: true, filter: isWanted });
  }
  capTries(join(copy, "tests"));
  symlinkSync(join(root, "node_modules"), join(copy, "node_modules"));
  writeFileSync(join(copy, "package.json"), '{ "private": true, "type": "module" }\n');
  writeFileSync(join(copy, "vitest.config.mjs"), CONFIG);
  writeFileSync(join(copy, "mutation-setup.ts"), SETUP);
  writeFileSync(join(copy, ONE_FILE), oneFile(copy));

  const runner = join(tools, "sampled-runner.mjs");
  const source = readFileSync(new URL("./sampled-runner.ts", import.meta.url), "utf8");
  const compilerOptions = { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ES2022 };
  writeFileSync(runner, ts.transpileModule(source, { compilerOptions }).outputText);
  return { tools, copy, runner };
}

/** Takes the copy away; the tool stays for the next run. */
export function closeWorkshop({ copy }: Workshop): void {
  rmSync(copy, { recursive: true, force: true });
}

/** Files of the two folders whose mutants are tried, from the root of the copy, with forward slashes, sorted. */
export function filesToMutate({ copy }: Workshop): readonly string[] {
  return ["model/evidence", "model/measure"]
    .flatMap((folder) =>
      readdirSync(join(copy, folder), { recursive: true, encoding: "utf8" })
        .filter((name) => name.endsWith(".ts"))
        .map((name) => relative(copy, join(copy, folder, name)).replaceAll("\\", "/")),
    )
    .sort();
}
