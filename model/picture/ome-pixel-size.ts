import type { StatedDensity } from "./header.ts";

/** Metres per unit, as the text reads one character per byte: the micro sign is two bytes, one byte or an escape. */
const METRES: readonly (readonly [unit: string, metres: number])[] = [
  ["\xc2\xb5m", 1e-6],
  ["\xce\xbcm", 1e-6],
  ["\xb5m", 1e-6],
  ["&#181;m", 1e-6],
  ["&#xb5;m", 1e-6],
  ["&#xB5;m", 1e-6],
  ["nm", 1e-9],
  ["mm", 1e-3],
  ["cm", 1e-2],
  ["m", 1],
];
/** What the schema takes where no unit is written. @source OME Data Model 2016-06, Pixels, PhysicalSizeXUnit. */
const UNIT_BY_DEFAULT = "\xc2\xb5m";
const MOST_TAG = 8_192;

/**
 * Reads the pixel size from the beginning of an OME-XML text. Nothing is parsed but the attributes of the first Pixels
 * element; a text that declares a document type or entities is not read at all.
 * @returns pixels per metre, unchecked; null when it is no OME-XML or states no size.
 * @source OME Data Model 2016-06: Pixels, PhysicalSizeX and PhysicalSizeY.
 */
export function omeDensity(text: string): StatedDensity | null {
  if (!/^(\xef\xbb\xbf)?\s*</.test(text) || !/<(\w{1,20}:)?OME[\s>]/.test(text) || /<!(DOCTYPE|ENTITY)/i.test(text))
    return null;
  const start = /<(\w{1,20}:)?Pixels\s/.exec(text)?.index;
  if (start === undefined) return null;
  const end = text.indexOf(">", start);
  if (end < 0 || end - start > MOST_TAG) return null;
  const tag = text.slice(start, end);
  const attribute = (name: string) => new RegExp(`\\s${name}\\s*=\\s*(?:"([^"]{0,64})"|'([^']{0,64})')`).exec(tag);
  const perMetre = (axis: "X" | "Y"): number => {
    const size = attribute(`PhysicalSize${axis}`);
    const unit = attribute(`PhysicalSize${axis}Unit`);
    const written = unit ? (unit[1] ?? unit[2]) : UNIT_BY_DEFAULT;
    const metres = METRES.find(([name]) => name === written)?.[1];
    const value = (size?.[1] ?? size?.[2] ?? "").trim();
    if (metres === undefined || !/^[+]?\d*[.]?\d+([eE][+-]?\d+)?$/.test(value)) return NaN;
    return 1 / (Number(value) * metres);
  };
  const [x, y] = [perMetre("X"), perMetre("Y")];
  return Number.isNaN(x) && Number.isNaN(y) ? null : { x, y, unit: "m", from: "OME-XML pixel size" };
}
