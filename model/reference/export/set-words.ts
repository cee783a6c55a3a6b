import { BREAK_TYPE_NAMES } from "../../evidence/type-names.ts";
import { balanceWarnings, coverageTable, NOT_RECORDED } from "../coverage.ts";
import type { SetBreak, Split } from "../member.ts";
import { SPLITS } from "../member.ts";
import type { Kappa } from "../agreement/kappa.ts";
import type { Figure } from "../second/figures.ts";
import { type CropFigures, cropWords } from "./crop-table.ts";
import { licenceOf } from "./licences.ts";
import type { SetOptions } from "./set-options.ts";

/** What is said about a set in words: in its description and on its data sheet, from its own figures. */
export interface SetWords {
  readonly collection: string;
  readonly protocol: string;
  readonly annotationsPerItem: string;
  /** How far readers agree, and what became of disagreements. */
  readonly agreement: string;
  readonly annotators: string;
  readonly tools: string;
  readonly limitations: string;
  readonly biases: string;
  readonly useCases: string;
  readonly personal: string;
}

export interface SetFigures {
  readonly breaks: readonly SetBreak[];
  readonly splits: ReadonlyMap<string, Split>;
  readonly photographs: number;
  readonly annotations: number;
  /** People who confirmed, by code. */
  readonly readers: number;
  /** Breaks confirmed by two people or more. */
  readonly readTwice: number;
  /** Second readings of the breaks of the set, made without sight of the first label by another person. */
  readonly second: SecondFigures;
  /** null = a set without crops. */
  readonly crops: CropFigures | null;
  /** Photographs the set should hold and does not, with the reason. */
  readonly missing: readonly { readonly number: string; readonly fileName: string; readonly why: string }[];
}

export interface SecondFigures {
  /** Breaks with a second reading that is compared with a label. */
  readonly breaks: number;
  /** Of these, given the same type. */
  readonly same: number;
  readonly kappa: Figure<Pick<Kappa, "kappa" | "low" | "high">>;
  /** Readings of another type that were settled with a reason, or led to re-opening. */
  readonly settled: number;
  readonly open: number;
}

/** How second readings agree with the labels, in sentences. */
export function agreementWords({ breaks, same, kappa, settled, open }: SecondFigures): string {
  if (breaks === 0) return "No break was read a second time without sight of its label.";
  const said =
    "value" in kappa
      ? `Cohen's kappa ${kappa.value.kappa.toFixed(2)} (95 % interval ${kappa.value.low.toFixed(2)} to ${kappa.value.high.toFixed(2)}).`
      : kappa.none === "too-few"
        ? `Too few for a kappa: ${kappa.have} of at least ${kappa.need} breaks.`
        : "One type only was given, so no kappa can be stated.";
  const apart = settled + open === 0 ? "" : ` Disagreements: ${settled} settled with a reason, ${open} open.`;
  return `Of ${breaks} breaks read twice, ${same} were given the same type by both. ${said}${apart}`;
}

export function setWords(options: SetOptions, figures: SetFigures): SetWords {
  const { breaks, readers, readTwice } = figures;
  const invented = breaks.filter((b) => b.invented).length;
  const warnings = balanceWarnings(breaks, figures.splits);
  const unrecorded = (["metal", "diameter", "machine", "light"] as const).filter((axis) =>
    coverageTable(breaks, axis).values.includes(NOT_RECORDED),
  );
  return {
    collection:
      "Both ends of each broken wire photographed on a laboratory bench; pixels upright; scale of each photograph from " +
      "the wire diameter, a scale bar, a stage micrometer or the file, with its uncertainty where known." +
      (invented === 0 ? "" : ` ${invented} of ${breaks.length} breaks are rendered or invented.`),
    protocol:
      "Features marked under neutral names on upright pixels; break type confirmed by a person with the means of " +
      "confirmation and the reason (tables/reviews.csv); evidence against it answered in words.",
    annotationsPerItem: `${readTwice} of ${breaks.length} breaks were confirmed by more than one reader; ${figures.second.breaks} were read a second time without sight of the first label.`,
    agreement: agreementWords(figures.second),
    annotators: `${readers} ${readers === 1 ? "reader" : "readers"} of the laboratory, by code. Nothing else about them is recorded.`,
    tools:
      "Marks may have been proposed by the program and were then taken or corrected by a reader; rules suggest a type, people confirm.",
    limitations: [
      ...(invented === 0 ? [] : ["Figures about rendered pictures say nothing about real breaks."]),
      ...(unrecorded.length === 0 ? [] : [`Not recorded for some breaks: ${unrecorded.join(", ")}.`]),
      "No verdict on fitness for service follows from a label.",
    ].join(" "),
    biases: warnings.length === 0 ? "No imbalance was found by the checks made." : warnings.join(" "),
    useCases: "Training and judging programs that tell break types of drawn wire or find features on broken ends.",
    personal:
      "Readers by code. Positions were removed from all photographs" +
      (options.metadata === "all"
        ? ", and so was all other data of the camera."
        : "; other data of the camera is kept.") +
      " Notes and reasons are free text and were not searched for names.",
  };
}

/** Text for one cell of a table in Markdown. */
const cell = (text: string): string => text.replace(/[\\|<>`*_[\]]/g, (sign) => `\\${sign}`).replace(/\s+/g, " ");

/**
 * The data sheet of a set, Markdown.
 *
 * @source questions after Gebru and others 2018, Datasheets for Datasets (from memory).
 */
export function dataSheet(options: SetOptions, words: SetWords, figures: SetFigures): string {
  const licence = licenceOf(options.licence);
  const { breaks, splits } = figures;
  const types = coverageTable(breaks, "metal").rows;
  const count = (split: Split, type?: string) =>
    breaks.filter((b) => splits.get(b.id) === split && (type === undefined || b.type === type)).length;
  const rows = types.map(({ type, breaks: n }) => {
    const name = type === "undetermined" ? "undecided" : BREAK_TYPE_NAMES[type];
    return `| ${name} | ${SPLITS.map((split) => count(split, type)).join(" | ")} | ${n} |`;
  });
  const axes = (["metal", "diameter", "machine", "light"] as const).map((axis) => {
    const table = coverageTable(breaks, axis);
    const sums = table.values.map(
      (value, i) => `${cell(value)}: ${table.rows.reduce((s, row) => s + row.counts[i]!, 0)}`,
    );
    return `- ${axis}: ${sums.join("; ")}`;
  });
  return [
    `# ${cell(options.name)} ${options.version}`,
    "",
    cell(options.description),
    "",
    `${breaks.length} breaks, ${figures.photographs} photographs, ${figures.annotations} drawn marks. ${options.date}, ${cell(options.creator)}. Licence: [${licence.name}](${licence.url}). ${licence.says}`,
    "",
    "## What is in it",
    "",
    "| file | holds |",
    "|---|---|",
    "| croissant.json | description of the whole (Croissant 1.0, JSON-LD) |",
    "| annotations/instances\\_\\*.json | drawn marks, COCO, one file for each part |",
    "| tables/\\*.csv | breaks, photographs, reviews, marks |",
    "| images/ | photographs, upright |",
    ...(options.crops
      ? ["| crops/, tables/crops.csv | parts of the photographs at one scale, and where they lie |"]
      : []),
    ...(options.withRecords ? ["| records/ | the breaks as another bench takes them over |"] : []),
    "| manifest-sha256.txt | hash of every file: `sha256sum -c manifest-sha256.txt` |",
    "",
    "## Breaks by type and part",
    "",
    `| type | ${SPLITS.join(" | ")} | all |`,
    "|---|---|---|---|---|",
    ...rows,
    `| all | ${SPLITS.map((split) => count(split)).join(" | ")} | ${breaks.length} |`,
    "",
    `Kept together: all photographs of one break${options.plan.groupBy === "break" ? "" : `, all breaks of one ${options.plan.groupBy}`}. Salt of the split: \`${cell(options.plan.salt)}\`.`,
    "",
    "## Coverage (breaks)",
    "",
    ...axes,
    "",
    "## How it came about",
    "",
    words.collection,
    "",
    words.protocol,
    "",
    `${words.annotationsPerItem} ${words.annotators} ${words.tools}`,
    "",
    "## Agreement of readers",
    "",
    words.agreement,
    ...(figures.second.breaks === 0
      ? []
      : [
          "",
          "Second readings are the rows of tables/reviews.csv with the role second-reader; their decision says whether they gave the type of the label they were made beside. Their marks go along in the records only.",
        ]),
    "",
    ...(options.crops && figures.crops
      ? ["## Crops", "", ...cropWords(options.crops, figures.crops).flatMap((paragraph) => [paragraph, ""])]
      : []),
    "## Limits",
    "",
    words.limitations,
    "",
    words.biases,
    "",
    "## People",
    "",
    words.personal,
    "",
    "## Use",
    "",
    words.useCases,
    ...(figures.missing.length === 0
      ? []
      : ["", "## Not in it", "", ...figures.missing.map((m) => `- ${cell(m.number)}, ${cell(m.fileName)}: ${m.why}`)]),
    "",
  ].join("\n");
}
