import { awgFromName, awgToMm } from "./awg.ts";
import { inchToMm, millimetres, mmToInch } from "./units.ts";
import type { LengthUnit, Millimetres } from "./units.ts";

/** A typed length that cannot be read, with what to type instead. */
export class LengthError extends Error {
  constructor(
    readonly code: "empty" | "not-a-length" | "not-positive" | "awg-size",
    message: string,
  ) {
    super(message);
    this.name = "LengthError";
  }
}

export interface TypedLength {
  readonly mm: Millimetres;
  /** The unit it was typed in, or the one that was taken for granted. */
  readonly unit: LengthUnit;
}

const UNIT_WORDS: Readonly<Record<string, "mm" | "µm" | "inch" | "mil" | "AWG">> = {
  mm: "mm",
  um: "µm",
  µm: "µm",
  μm: "µm",
  in: "inch",
  "in.": "inch",
  inch: "inch",
  inches: "inch",
  '"': "inch",
  "″": "inch",
  "”": "inch",
  mil: "mil",
  mils: "mil",
  awg: "AWG",
  ga: "AWG",
};

/**
 * Reads a length as people type it: "2.05", "2,05 mm", "0.081 in", "0.0808\"", "12 AWG", "AWG 4/0".
 *
 * A single comma or point is the decimal mark. Thousands marks are refused, because "1,250" could mean either.
 *
 * @param assumed – unit of a bare number.
 * @throws LengthError with a sentence that says what to type.
 */
export function parseLength(typed: string, assumed: LengthUnit = "mm"): TypedLength {
  const text = typed.trim().toLowerCase();
  if (text === "") throw new LengthError("empty", "Type a length, such as 2.05 mm.");
  const match = /^(awg)\s*(\S+)$/.exec(text) ?? /^([+-]?[\d.,/]+)\s*([a-zµμ.]+|["″”])?$/.exec(text);
  if (!match) throw notALength(typed);
  const [number = "", word = ""] = match[1] === "awg" ? [match[2], "awg"] : [match[1], match[2]];
  const unit = word === "" ? assumed : UNIT_WORDS[word];
  if (unit === undefined)
    throw new LengthError("not-a-length", `"${word}" is not a length unit here. Use mm, µm, in, mil or AWG.`);
  if (unit === "AWG") {
    const gauge = awgFromName(number);
    if (gauge === null)
      throw new LengthError("awg-size", `"${number}" is not an AWG size. Sizes run from 0000 (or 4/0) to 56.`);
    return { mm: awgToMm(gauge), unit };
  }
  if (!/^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(number)) throw notALength(typed);
  const value = Number(number.replace(",", "."));
  if (!(value > 0)) throw new LengthError("not-positive", "A length is greater than zero.");
  switch (unit) {
    case "mm":
      return { mm: millimetres(value), unit };
    case "µm":
      return { mm: millimetres(value / 1000), unit: "mm" };
    case "inch":
      return { mm: inchToMm(value), unit };
    case "mil":
      return { mm: inchToMm(value / 1000), unit: "inch" };
  }
}

const notALength = (typed: string) =>
  new LengthError("not-a-length", `"${typed.trim()}" is not a length. Type a number and a unit, such as 2.05 mm.`);

/**
 * A length as it stands in a field: whole, without uncertainty, in a form that `parseLength` reads back.
 *
 * @param mm – length, mm. AWG sizes are shown in mm, because a measured wire is seldom exactly one of them.
 */
export function fieldLength(mm: number, unit: LengthUnit): string {
  const value = unit === "inch" ? mmToInch(mm) : mm;
  return `${Number(value.toPrecision(7))} ${unit === "inch" ? "in" : "mm"}`;
}
