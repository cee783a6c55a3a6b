/** What a person prefers; kept in the bench's settings. */
export interface Preferences {
  /** Name or code that stands on marks and confirmations. */
  readonly reader: string;
  readonly lengthUnit: "mm" | "inch" | "AWG";
  readonly theme: "system" | "light" | "dark";
  readonly paper: "A4" | "Letter";
  readonly lab: string;
  /** Whether marks are looked for as soon as a photograph is shown, or when asked. */
  readonly proposals: "by-itself" | "when-asked";
  /** Light that photographs brought in are filed with; "" = not recorded. */
  readonly light: string;
}

export const DEFAULT_PREFERENCES: Preferences = {
  reader: "",
  lengthUnit: "mm",
  theme: "system",
  paper: "A4",
  lab: "",
  proposals: "by-itself",
  light: "",
};

/** The light a photograph is filed with, where it is recorded. */
export const lightOf = ({ light }: Preferences): { readonly light?: string } =>
  light.trim() === "" ? {} : { light: light.trim() };
