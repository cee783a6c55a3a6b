import type { Faults } from "./fault.ts";

/** Paths that could leave the folder a set is unpacked into, or that differ only for some file systems. */
export function checkPaths(paths: readonly string[], twice: readonly string[], faults: Faults): void {
  for (const path of paths)
    if (isBadPath(path)) faults.add("bad-path", path, "The path leads out of the set, or could.");
  for (const path of twice) faults.add("path-twice", path, "Two files have this path.");
  const lower = new Map<string, string>();
  for (const path of paths) {
    const before = lower.get(path.toLowerCase());
    if (before !== undefined) faults.add("path-twice", path, `It differs from ${before} by the size of letters only.`);
    lower.set(path.toLowerCase(), path);
  }
}

export const isBadPath = (path: string): boolean =>
  path === "" ||
  path.startsWith("/") ||
  path.includes("\\") ||
  path.includes(":") ||
  path.split("/").some((step) => step === "" || step === "." || step === "..") ||
  [...path].some((sign) => sign.charCodeAt(0) < 0x20);

/** Lines of a manifest: "<64 hex>  <path>". */
export function readManifest(text: string, where: string, faults: Faults): ReadonlyMap<string, string> {
  const hashes = new Map<string, string>();
  text.split("\n").forEach((line, i) => {
    if (line === "") return;
    const [, hash, path] = /^([0-9a-f]{64}) [ *](.+)$/.exec(line) ?? [];
    if (hash === undefined || path === undefined)
      faults.add("wrong-hash", `${where}, line ${i + 1}`, "It is no line of a hash, two spaces and a path.");
    else if (isBadPath(path)) faults.add("bad-path", `${where}, line ${i + 1}`, `It names ${path}, outside the set.`);
    else if (hashes.has(path)) faults.add("path-twice", `${where}, line ${i + 1}`, `It lists ${path} a second time.`);
    else hashes.set(path, hash);
  });
  return hashes;
}
