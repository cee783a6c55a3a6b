import type { ConfirmationMeans } from "../break/wire-break.ts";

/** Means of confirmation inside a sentence. */
export const MEANS_NAMES: Readonly<Record<ConfirmationMeans, string>> = {
  "both-ends-microscope": "both ends under the microscope",
  "longitudinal-section": "a longitudinal section",
  "transverse-section": "a transverse section",
  sem: "SEM",
  eds: "EDS",
  hardness: "hardness",
  "tensile-test": "a tensile test",
  "torsion-test": "a torsion test",
  "bake-test": "baking and testing again",
  "b577-test": "the copper steam test (ASTM B577)",
  "weld-log": "the weld log",
  "repeat-after-correction": "its being gone after the correction",
  other: "another means",
};
