import { spawnSync } from "node:child_process";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { BrowserCommand } from "vitest/node";
import { HASH_LIST_PATH } from "../../web/storage/bench-file-format.ts";

interface Checked {
  /** Exit code of `unzip -t`. */
  readonly unzip: number | null;
  /** Exit code of `sha256sum -c` over the unpacked file. */
  readonly sums: number | null;
  /** Files that `sha256sum` looked at. */
  readonly list: string[];
}

/**
 * A bench file, base64, checked by programs that are not ours. Runs in Node for tests in the browser.
 *
 * @returns null where the machine has no unzip or no sha256sum.
 */
export const checkedByOthers: BrowserCommand<[base64: string]> = async (_, base64): Promise<Checked | null> => {
  const folder = await mkdtemp(join(tmpdir(), "endpair-bench-file-"));
  try {
    const run = (program: string, ...options: string[]) =>
      spawnSync(program, options, { cwd: folder, encoding: "utf8", timeout: 20_000 });
    if (run("unzip", "-v").error || run("sha256sum", "--version").error) return null;
    await writeFile(join(folder, "bench.zip"), Buffer.from(base64, "base64"));
    const unzip = run("unzip", "-t", "bench.zip").status;
    run("unzip", "-q", "-o", "bench.zip");
    const sums = run("sha256sum", "-c", HASH_LIST_PATH);
    return {
      unzip,
      sums: sums.status,
      list: sums.stdout.split("\n").flatMap((line) => /^(.*): \w+$/.exec(line)?.slice(1) ?? []),
    };
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
};
