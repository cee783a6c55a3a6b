import type { Observations } from "./observations.ts";
import type { Suggestion } from "./suggestion.ts";

/** What the marks of one break say: a type or undetermined, with evidence, gates and next actions. */
export function suggest(_observations: Observations): Suggestion {
  return {
    verdict: "undetermined",
    ranking: [],
    says: "Nothing has been weighed yet.",
    gates: [],
    for: [],
    against: [],
    notes: [],
    requests: [],
    missing: [],
    origin: null,
    rulesVersion: "0",
  };
}
