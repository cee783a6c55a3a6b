import type { ConfirmationMeans } from "../../model/break/wire-break.ts";

export const MEANS_WORDS: Readonly<Record<ConfirmationMeans, string>> = {
  "both-ends-microscope": "both ends under the microscope",
  "longitudinal-section": "longitudinal section",
  "transverse-section": "transverse section",
  sem: "SEM",
  eds: "EDS",
  hardness: "hardness",
  "tensile-test": "tensile test",
  "torsion-test": "torsion test",
  "bake-test": "bake and re-test",
  "b577-test": "copper steam test (ASTM B577)",
  "weld-log": "weld log",
  "repeat-after-correction": "gone after the correction",
  other: "other (say in the reason)",
};
