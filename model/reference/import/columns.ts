/** What a column of a spreadsheet of old records can hold. */
export const OLD_RECORD_FIELDS = [
  "number",
  "brokeAt",
  "metal",
  "grade",
  "temper",
  "diameterMm",
  "diameterUm",
  "cast",
  "rod",
  "coil",
  "spool",
  "machine",
  "position",
  "lineSpeedMps",
  "type",
  "notes",
] as const;
export type OldRecordField = (typeof OLD_RECORD_FIELDS)[number];

/** Field of each column, by its place; null = the column is left out. */
export type ColumnMapping = readonly (OldRecordField | null)[];

/** Words of headings, German ones too. @source common practice, no source. */
const WORDS: Readonly<Record<OldRecordField, RegExp>> = {
  number: /^(break|case|record|sample|lab)?[ _-]*(no|nr|number|nummer|id)\.?$|^(break|case|sample|probe)$/,
  brokeAt: /date|time|datum|zeit|broke/,
  metal: /^(metal|material|werkstoff|metall)$/,
  grade: /grade|alloy|legierung|güte|sorte/,
  temper: /temper|zustand/,
  diameterMm: /^(wire)? *(diameter|dia|d|ø|durchmesser) *([[(]?mm[\])]?)?$/,
  diameterUm: /(diameter|dia|ø|durchmesser).*(µm|um|micron)/,
  cast: /^(cast|heat|charge|schmelze|guss)( *(no|nr)\.?)?$/,
  rod: /^(rod|walzdraht)( *(no|nr)\.?)?$/,
  coil: /^(coil|ring|bund)( *(no|nr)\.?)?$/,
  spool: /^(spool|bobbin|spule)( *(no|nr)\.?)?$/,
  machine: /machine|line no|maschine|anlage/,
  position: /position|place|block|pass|stelle|ort/,
  lineSpeedMps: /speed|geschwindigkeit/,
  type: /type|verdict|cause|ursache|bruchart|befund/,
  notes: /note|remark|comment|bemerkung|notiz/,
};

/** A first guess from the headings; each field once, the first column that fits. A person looks at it before it is used. */
export function guessColumns(head: readonly string[]): ColumnMapping {
  const taken = new Set<OldRecordField>();
  return head.map((heading) => {
    const plain = heading.trim().toLowerCase().replaceAll("_", " ");
    const field = OLD_RECORD_FIELDS.find((name) => !taken.has(name) && WORDS[name].test(plain)) ?? null;
    if (field !== null) taken.add(field);
    return field;
  });
}

/** The sign between cells: the one of , ; and tab that the first line holds most of outside quotes. */
export function guessSeparator(text: string): "," | ";" | "\t" {
  const [first = ""] = text.replace(/^\uFEFF/, "").split(/\r?\n/, 1);
  const bare = first.replace(/"[^"]*"/g, "");
  const count = (sign: string) => bare.split(sign).length - 1;
  return ([",", ";", "\t"] as const).reduce((best, sign) => (count(sign) > count(best) ? sign : best));
}
