import fc from "fast-check";
import { inject } from "vitest";

declare module "vitest" {
  interface ProvidedContext {
    /** Seed of every property test; null = a new one for each test, told when it fails. */
    readonly seed: number | null;
  }
}

const seed = inject("seed");
// Another runner may provide none and set its own.
if (typeof seed === "number") fc.configureGlobal({ seed });

/** Property testing with the seed of this run: the same cases for the same code, unless `ENDPAIR_SEED` says otherwise. */
export default fc;
