import type { FeatureId, ViewId } from "../evidence/features.ts";
import { VIEW_IDS } from "../evidence/features.ts";
import type { EndRole, EvidenceContext, MeasureValue, Observations, ObservedEnd } from "../evidence/observations.ts";
import { faultsOf } from "./field-faults.ts";
import { contextFromSheet, tidyContext } from "./observation-sheet-context.ts";
import {
  CONTEXT_KEYS,
  type SheetInput,
  sheetSchema,
  VIEW_ALIASES,
  type ViewAlias,
} from "./observation-sheet-schema.ts";
import type { ObservationSheet, SheetEnd, SheetFeature } from "./observation-sheet-types.ts";
import { type FieldFault, RecordError } from "./record-error.ts";

const NEXT = "Correct the field and try again; nothing was taken over.";

/**
 * Observation sheets from parsed JSON: one object, or a list of them.
 *
 * @returns today's spelling: states written out, views under their names, unknown facts left out.
 * @throws RecordError with every fault found, each naming its field by path, such as `[3].ends[0].features[2].feature`.
 */
export function parseObservationSheets(json: unknown): ObservationSheet[] {
  if (!Array.isArray(json)) return [parseOne(json, null)];
  const list: readonly unknown[] = json;
  const faults: FieldFault[] = [];
  const sheets: ObservationSheet[] = [];
  const firstWith = new Map<string, number>();
  list.forEach((item, i) => {
    try {
      const sheet = parseOne(item, i);
      const before = firstWith.get(sheet.id);
      if (before !== undefined) faults.push(sameIdentifier(i, sheet.id, `[${before}]`));
      else firstWith.set(sheet.id, i);
      sheets.push(sheet);
    } catch (error) {
      if (!(error instanceof RecordError)) throw error;
      faults.push(...error.faults);
    }
  });
  const [first, ...more] = faults;
  if (first) throw new RecordError([first, ...more], NEXT);
  return sheets;
}

const sameIdentifier = (index: number, id: string, before: string): FieldFault => ({
  code: "contradiction",
  field: `[${index}].id`,
  sentence: `The break "${id}" was given already, in ${before}.`,
});

function parseOne(json: unknown, index: number | null): ObservationSheet {
  const result = sheetSchema.safeParse(json, { reportInput: true });
  if (result.success) return tidy(result.data);
  const [first, ...more] = faultsOf(result.error).map((fault) => explained(fault, index));
  throw new RecordError([first as FieldFault, ...more], NEXT);
}

/** The fault with the place of its sheet in the list, and a clearer word about unknown context keys. */
function explained(fault: FieldFault, index: number | null): FieldFault {
  const own = /^context\.([^.[]+)$/.exec(fault.field)?.[1];
  const sentence =
    own !== undefined && !CONTEXT_KEYS.has(own)
      ? "This key is not known here; a key of one's own may carry text, and text alone."
      : fault.sentence;
  const place = index === null ? "" : `[${index}]`;
  const field = fault.field === "" || fault.field.startsWith("[") ? place + fault.field : joined(place, fault.field);
  return { ...fault, field, sentence };
}

const joined = (place: string, field: string): string => (place === "" ? field : `${place}.${field}`);

function tidy(input: SheetInput): ObservationSheet {
  const metal = input.metal?.trim().toLowerCase() ?? "";
  return {
    id: input.id,
    ...(metal === "" ? {} : { metal: metal === "aluminum" ? "aluminium" : metal }),
    ...(input.grade == null ? {} : { grade: input.grade }),
    ...(input.wire_mm == null ? {} : { wire_mm: input.wire_mm }),
    ends: input.ends.map(tidyEnd),
    context: tidyContext(input.context ?? {}),
  };
}

type EndInput = SheetInput["ends"][number];
type FeatureInput = NonNullable<EndInput["features"]>[number];

function tidyEnd(input: EndInput): SheetEnd {
  const photos = (input.photos ?? []).map((p) => ({
    file: p.file,
    view: viewNamed(p.view ?? "other"),
    px_per_mm: p.px_per_mm ?? null,
  }));
  return {
    role: input.role,
    recovered: input.recovered ?? true,
    views: inViewOrder([...(input.views ?? []).map(viewNamed), ...photos.map((p) => p.view)]),
    photos,
    features: (input.features ?? []).map(tidyFeature),
    ...(input.note === undefined || input.note === "" ? {} : { note: input.note }),
  };
}

function tidyFeature(input: FeatureInput): SheetFeature {
  const { present, ...given } = input.measures ?? {};
  const measures = Object.entries(given);
  return {
    feature: input.feature as FeatureId,
    state: input.state ?? (present === false ? "absent" : "present"),
    ...(input.photo == null ? {} : { photo: input.photo }),
    ...(input.geometry == null ? {} : { geometry: input.geometry }),
    measures: Object.fromEntries(measures.filter((pair): pair is [string, MeasureValue] => pair[1] != null)),
    ...(input.note === undefined || input.note === "" ? {} : { note: input.note }),
  };
}

const viewNamed = (view: ViewId | ViewAlias): ViewId =>
  Object.hasOwn(VIEW_ALIASES, view) ? VIEW_ALIASES[view as ViewAlias] : (view as ViewId);

/** Views each once, in the order of the view list. */
export function inViewOrder(views: readonly ViewId[]): readonly ViewId[] {
  return VIEW_IDS.filter((v) => views.includes(v));
}

/**
 * What the evidence room may know of a sheet, from its given measures alone. Geometry is left to the measure room.
 * An end that is missing from the sheet counts as not recovered.
 */
export function sheetToObservations(sheet: ObservationSheet): Observations {
  const ends = sheet.ends.map((end): ObservedEnd => ({
    role: end.role,
    recovered: end.recovered,
    views: end.views,
    features: end.features.map(({ feature, state, measures }) => ({
      feature,
      state,
      measures,
      uncertainty: {},
      markIds: [],
    })),
  }));
  return {
    id: sheet.id,
    ends: [
      ...ends,
      ...missingRoles(sheet.ends).map((role): ObservedEnd => ({ role, recovered: false, views: [], features: [] })),
    ],
    context: evidenceContext(sheet),
  };
}

function evidenceContext(sheet: ObservationSheet): EvidenceContext {
  const { context: c, pairing } = contextFromSheet(sheet);
  return {
    metal: c.metal,
    grade: c.grade,
    wireMm: c.measuredDiameterMm ?? c.nominalDiameterMm,
    drawDirectionKnown: c.drawDirection === "recorded",
    reversals: c.reversals,
    whichEndLeads: c.whichEndLeads,
    transfers: c.transfers,
    passes: c.passes,
    weldLogDistanceM: c.weldLogDistanceM,
    weldLogClear: c.weldLogClear,
    oxygenPpm: c.oxygenPpm,
    hydrogenAnneal: c.hydrogenAnneal,
    pickled: c.pickled,
    delayedH: c.delayedH,
    firstTrip: c.firstTrip,
    strengthMPa: c.strengthMPa,
    refRaPct: c.refRaPct,
    slipOrGrabLogged: c.slipOrGrabLogged,
    repeatsInCast: c.repeatsInCast,
    d0AgreePct: pairing.d0AgreePct,
    mate: pairing.mate,
    tests: c.tests,
    process: c.process,
  };
}

/** Roles of the ends that a sheet does not mention. */
export function missingRoles(ends: readonly Pick<SheetEnd, "role">[]): readonly EndRole[] {
  if (ends.length >= 2) return [];
  if (ends.length === 0) return ["machine", "spool"];
  const role = ends[0]?.role;
  return [role === "machine" ? "spool" : role === "spool" ? "machine" : "unknown"];
}
