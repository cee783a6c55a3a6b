import type {
  BreakContext,
  End,
  FocusStack,
  Photograph,
  Scale,
  SecondReading,
  WireBreak,
} from "../../break/wire-break.ts";
import { RECORD_VERSION } from "../../break/wire-break.ts";
import { BREAK_TYPE_IDS } from "../../evidence/break-type-ids.ts";
import { BREAK_TYPE_PAGES } from "../../evidence/break-types/index.ts";
import { BREAK_TYPE_NAMES } from "../../evidence/type-names.ts";
import type { ViewSettings } from "../../picture/view-settings.ts";

/**
 * The break as a second reader gets it: photographs, scales, facts about wire and process, and nothing that anybody
 * made of them. Every field is named, so that one added to the record later stays out until it is thought about.
 *
 * Left out besides marks, notes, confirmations and readings: the names of the files, which often say the type; whether
 * the faces were judged to belong together; whether the same cast broke "this way" before; the route with its
 * corrections; texts that name a break type; how often the record was edited.
 */
export function blindRecord(wireBreak: WireBreak): WireBreak {
  const { id, number, createdAt, rolesKnown, ends, context, demo } = wireBreak;
  return {
    version: RECORD_VERSION,
    id,
    number,
    revision: 0,
    createdAt,
    updatedAt: createdAt,
    rolesKnown,
    ends: { machine: blindEnd(ends.machine), takeUp: blindEnd(ends.takeUp) },
    context: blindContext(context),
    pairing: { mate: null, d0AgreePct: null },
    confirmations: [],
    demo,
    binnedAt: null,
  };
}

/** The record as the second reader left it: their marks in place of the first reader's. Measures are read from it. */
export function asReadBy(wireBreak: WireBreak, { marks }: Pick<SecondReading, "marks">): WireBreak {
  const { ends } = wireBreak;
  return {
    ...wireBreak,
    ends: { machine: { ...ends.machine, marks: marks.machine }, takeUp: { ...ends.takeUp, marks: marks.takeUp } },
  };
}

function blindEnd({ recovery, photographs, statedViews }: End): End {
  return {
    recovery,
    photographs: photographs.map(blindPhotograph),
    marks: [],
    note: "",
    ...(statedViews === undefined ? {} : { statedViews }),
  };
}

function blindPhotograph(photograph: Photograph, place: number): Photograph {
  const { id, hash, mediaType, byteLength, widthPx, heightPx, orientation, capturedAt, view, turnDeg } = photograph;
  const { scale, axisDeg, rendered, deepTone, light, page, seeing, stack } = photograph;
  return {
    id,
    hash,
    fileName: `photograph ${place + 1}`,
    mediaType,
    byteLength,
    widthPx,
    heightPx,
    orientation,
    capturedAt,
    view,
    turnDeg,
    scale: blindScale(scale),
    axisDeg,
    rendered,
    ...(deepTone === undefined ? {} : { deepTone }),
    ...(light === undefined || namesBreakType(light) ? {} : { light }),
    ...(page === undefined ? {} : { page }),
    ...(seeing === undefined ? {} : { seeing: blindSeeing(seeing) }),
    ...(stack === undefined ? {} : { stack: blindStack(stack) }),
  };
}

/** The scale stays; the mark it was read from is the first reader's. */
const blindScale = (scale: Scale | null): Scale | null =>
  scale?.method === "wire-diameter" ? { ...scale, markId: null } : scale;

function blindSeeing({ exposureEv, contrast, localContrast, flatField, neutral }: ViewSettings): ViewSettings {
  return {
    exposureEv,
    contrast,
    localContrast,
    flatField: flatField === null ? null : { hash: flatField.hash, fileName: "blank frame" },
    neutral:
      neutral?.from === undefined
        ? neutral
        : { ...neutral, from: { hash: neutral.from.hash, fileName: "another photograph", gains: neutral.from.gains } },
  };
}

const blindStack = ({ frames, stepUm }: FocusStack): FocusStack => ({
  frames: frames.map(({ hash }, i) => ({ hash, fileName: `frame ${i + 1}` })),
  stepUm,
});

function blindContext(context: BreakContext): BreakContext {
  const facts = Object.fromEntries(
    Object.entries(context).map(([key, value]) => [
      key,
      typeof value === "string" && namesBreakType(value) ? null : value,
    ]),
  ) as unknown as BreakContext;
  return {
    ...facts,
    machineOrder: context.machineOrder.filter((name) => !namesBreakType(name)),
    tests: Object.fromEntries(
      Object.entries(context.tests).filter(([, value]) => typeof value !== "string" || !namesBreakType(value)),
    ),
    repeatsInCast: null,
    notes: null,
  };
}

const plain = (text: string): string =>
  ` ${text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, " ")
    .trim()} `;
const WHOLE_WORDS: readonly string[] = [
  ...BREAK_TYPE_IDS,
  ...Object.values(BREAK_TYPE_PAGES).flatMap(({ name, tradeNames }) => [name, ...tradeNames]),
].map(plain);
/** Beginnings of words of the trade that mean a type wherever they stand. */
const BEGINNINGS: readonly string[] = [
  ...Object.values(BREAK_TYPE_NAMES),
  ...["overload", "burst", "cuppy", "cup and cone", "chevron", "martensit", "stress corrosion", "embrittle"],
].map((name) => plain(name).trimEnd());

/** Whether a text says a break type, by its name or by a word of the trade that means one. */
export function namesBreakType(text: string): boolean {
  const words = plain(text);
  return WHOLE_WORDS.some((name) => words.includes(name)) || BEGINNINGS.some((name) => words.includes(name));
}
