import { existsSync } from "node:fs";

/** Debian's browser where there is one, else the one Playwright finds; quiet, without a sandbox so that it also runs as root in CI. */
export function chromiumLaunch(): { executablePath?: string; args: string[] } {
  const debian = process.env["CHROMIUM"] ?? "/usr/bin/chromium";
  return {
    ...(existsSync(debian) ? { executablePath: debian } : {}),
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  };
}
