import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";

/**
 * Folder of real pictures and numbers from elsewhere, which this repository doesn't carry: ENDPAIR_REAL_DATA, else the
 * folder beside the repository; null when neither is there, and then the tests that need it say so and are skipped.
 */
export function realData(): string | null {
  const named = process.env["ENDPAIR_REAL_DATA"];
  if (named) return existsSync(named) ? named : null;
  const beside = fileURLToPath(new URL("../../shared/real-data", import.meta.url));
  return existsSync(beside) ? beside : null;
}

export const NO_REAL_DATA = "no real-data folder: set ENDPAIR_REAL_DATA to run this";
