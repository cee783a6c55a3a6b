import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";

/**
 * The tests drive a real browser and read printed pages back. Where one is missing and this is a Debian machine with
 * the right to install, it is installed; elsewhere the sentence says what to do.
 */
const wanted = [
  { command: process.env["CHROMIUM"] ?? "/usr/bin/chromium", debian: "chromium" },
  { command: "/usr/bin/pdftotext", debian: "poppler-utils" },
  { command: "/usr/bin/unzip", debian: "unzip" },
].filter(({ command }) => !existsSync(command));

if (wanted.length > 0) {
  const names = wanted.map((w) => w.debian);
  const mayInstall = existsSync("/usr/bin/apt-get") && process.getuid?.() === 0;
  if (!mayInstall) {
    console.error(`The tests need ${names.join(" and ")}. On Debian: sudo apt-get install ${names.join(" ")}.`);
    process.exit(1);
  }
  const run = (args: string[]) =>
    spawnSync("apt-get", args, { stdio: "inherit", env: { ...process.env, DEBIAN_FRONTEND: "noninteractive" } });
  run(["update", "-qq"]);
  const done = run(["install", "-y", "-qq", ...names]);
  if (done.status !== 0) process.exit(done.status ?? 1);
}
