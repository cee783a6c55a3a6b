import "./jitless.ts";
import * as z from "zod";
import { BREAK_TYPE_IDS } from "../evidence/break-type-ids.ts";
import { FEATURE_IDS, VIEW_IDS } from "../evidence/features.ts";
import { MARK_STATES, TRANSFER_KINDS } from "../evidence/observations.ts";
import type { RuleId, Suggestion } from "../evidence/suggestion.ts";
import { checkRoute } from "../route/check-route.ts";
import type { DeepTone } from "../picture/deep-tone.ts";
import type { ViewSettings } from "../picture/view-settings.ts";
import type { Route } from "../route/route.ts";
import { faultsOf } from "./field-faults.ts";
import { geometrySchema } from "./geometry-schema.ts";
import { migrate } from "./migrations.ts";
import { RecordError } from "./record-error.ts";
import type {
  CameWith,
  Confirmation,
  End,
  FaceFit,
  FocusStack,
  Mark,
  Pairing,
  Photograph,
  ProposedMark,
  Scale,
  SecondReading,
  WireBreak,
} from "./wire-break.ts";
import { CONFIRMATION_MEANS, RECORD_VERSION } from "./wire-break.ts";

export const MAX_PHOTOGRAPHS = 200;
export const MAX_MARKS = 5000;
const MAX_LIST = 1000;

const identifier = z.string().min(1).max(200);
const word = z.string().max(500);
const prose = z.string().max(20_000);
const moment = z
  .string()
  .max(40)
  .regex(
    /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:?\d{2})?$/,
    "It must be a time such as 2026-03-02T08:00:00Z.",
  );
const finite = z.number().min(-1e9).max(1e9);
const positive = z.number().min(0).max(1e9);
const count = z.int().min(0).max(1e9);
const uncertain = z.strictObject({ value: positive, u: positive });
const placePx = z.tuple([finite, finite]);

const measureName = z
  .string()
  .max(60)
  .regex(/^[A-Za-z]\w*$/);
const measureValue = z.union([finite, z.string().max(2000), z.boolean()]);
/** A short table of named values. Its keys are plain names, so no key can reach a prototype. */
const namedValues = z.record(measureName, measureValue).refine((table) => Object.keys(table).length <= 60, {
  error: "It must have at most 60 entries.",
});

const scale: z.ZodType<Scale> = z.discriminatedUnion("method", [
  z.strictObject({
    method: z.literal("wire-diameter"),
    diameterMm: uncertain,
    diameterPx: uncertain,
    markId: identifier.nullable(),
  }),
  z.strictObject({
    method: z.literal("drawn-length"),
    lengthMm: uncertain,
    a: placePx,
    b: placePx,
    placingPx: positive,
    over: z.enum(["stage-micrometer", "scale-bar"]),
  }),
  z.strictObject({
    method: z.literal("profile"),
    profileId: identifier,
    name: word,
    pxPerMm: uncertain,
    pxPerMmY: uncertain.optional(),
    calibration: z
      .strictObject({
        at: z.string().max(40),
        dueAt: z.string().max(40),
        commonU: z.number().min(0).max(1),
        picturePx: z.tuple([z.int().min(1).max(200_000), z.int().min(1).max(200_000)]).nullable(),
      })
      .optional(),
  }),
  z.strictObject({ method: z.literal("stated"), pxPerMm: uncertain }),
]);

const proposedMark: z.ZodType<ProposedMark> = z.strictObject({
  feature: z.enum(FEATURE_IDS),
  geometry: geometrySchema,
  confidence: z.number().min(0).max(1),
  finder: z.string().max(100),
});
const sha256 = z.string().regex(/^[0-9a-f]{64}$/, "It must be a SHA-256 hash: 64 hexadecimal digits, lower case.");
const deepTone: z.ZodType<DeepTone> = z
  .strictObject({
    sample: z.enum(["uint16", "uint32", "int16", "int32", "float32", "float64"]),
    black: z.number(),
    white: z.number(),
    chosen: z.enum(["stated-in-file", "from-the-pixels", "by-a-person"]),
  })
  .refine(({ black, white }) => white > black, { error: "The white point must lie above the black point." });
const gain = z.number().min(0.01).max(100);
const viewSettings: z.ZodType<ViewSettings> = z.strictObject({
  exposureEv: z.number().min(-4).max(4),
  contrast: z.number().min(-1).max(1),
  localContrast: z.number().min(0).max(1),
  flatField: z.strictObject({ hash: sha256, fileName: word }).nullable(),
  neutral: z
    .strictObject({
      x: finite,
      y: finite,
      radiusPx: positive,
      from: z.strictObject({ hash: sha256, fileName: word, gains: z.tuple([gain, gain, gain]) }).optional(),
    })
    .nullable(),
});
const focusStack: z.ZodType<FocusStack> = z.strictObject({
  frames: z
    .array(z.strictObject({ hash: sha256, fileName: word }))
    .min(2)
    .max(200),
  stepUm: uncertain.nullable(),
});

export const photographSchema: z.ZodType<Photograph> = z.strictObject({
  id: identifier,
  hash: sha256,
  fileName: word,
  mediaType: z.string().max(100),
  byteLength: z.int().min(0),
  widthPx: z.int().min(1).max(200_000),
  heightPx: z.int().min(1).max(200_000),
  orientation: z.int().min(1).max(8),
  capturedAt: z.string().max(40).nullable(),
  view: z.enum(VIEW_IDS),
  turnDeg: z.number().min(-3600).max(3600),
  scale: scale.nullable(),
  axisDeg: z.number().min(-3600).max(3600).nullable(),
  rendered: z.boolean(),
  deepTone: deepTone.optional(),
  light: word.min(1).optional(),
  page: z.int().min(0).max(100_000).optional(),
  seeing: viewSettings.optional(),
  turnedDown: z.array(proposedMark).max(MAX_LIST).optional(),
  stack: focusStack.optional(),
});

export const markSchema: z.ZodType<Mark> = z.strictObject({
  id: identifier,
  feature: z.enum(FEATURE_IDS),
  state: z.enum(MARK_STATES),
  photographId: identifier.nullable(),
  geometry: geometrySchema.nullable(),
  given: namedValues,
  note: prose,
  by: word,
  at: moment,
  proposed: proposedMark.optional(),
});

const end: z.ZodType<End> = z.strictObject({
  recovery: z.enum(["recovered", "not-recovered", "awaited"]),
  photographs: z.array(photographSchema).max(MAX_PHOTOGRAPHS),
  marks: z.array(markSchema).max(MAX_MARKS),
  note: prose,
  statedViews: z.array(z.enum(VIEW_IDS)).max(VIEW_IDS.length).optional(),
});

const verdict = z.enum([...BREAK_TYPE_IDS, "undetermined"]);
const ruleId = z.custom<RuleId>((value) => typeof value === "string" && /^R\d{1,4}$/.test(value), {
  error: "It must be a rule number such as R02.",
});
const firedRule = z.strictObject({
  rule: ruleId,
  type: z.enum(BREAK_TYPE_IDS).nullable(),
  bears: z.enum(["for", "against", "gate", "note"]),
  strength: z.enum(["decisive", "strong", "moderate", "weak", "gate", "note"]),
  weight: finite,
  says: prose,
  reason: prose,
  sources: z.array(word).max(100),
  markIds: z.array(identifier).max(2 * MAX_MARKS),
  ends: z.array(z.int().min(0).max(10)).max(10),
});
const firedRules = z.array(firedRule).max(MAX_LIST);

/** The suggestion kept beside a confirmation: what the tool said at that moment. */
export const suggestionSchema: z.ZodType<Suggestion> = z.strictObject({
  verdict,
  ranking: z.array(z.strictObject({ type: z.enum(BREAK_TYPE_IDS), support: finite })).max(100),
  says: prose,
  gates: firedRules,
  for: firedRules,
  against: firedRules,
  notes: firedRules,
  requests: z
    .array(
      z.strictObject({
        id: identifier,
        text: prose,
        settles: z.number().min(0).max(1),
        separates: z.array(z.enum(BREAK_TYPE_IDS)).max(100),
      }),
    )
    .max(MAX_LIST),
  missing: z
    .array(
      z.strictObject({
        feature: z.enum(FEATURE_IDS),
        end: z.int().min(0).max(10),
        view: z.enum(["E", "S", "L", "T"]),
        wouldBear: z
          .array(z.strictObject({ type: z.enum(BREAK_TYPE_IDS), bears: z.enum(["for", "against"]) }))
          .max(100),
      }),
    )
    .max(MAX_LIST),
  origin: z
    .strictObject({
      says: prose,
      stated: z.boolean(),
      reversals: z.enum(["even", "odd", "both"]).nullable(),
      rules: z.array(ruleId).max(100),
    })
    .nullable(),
  rulesVersion: word,
});

export const confirmationSchema: z.ZodType<Confirmation> = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("confirmed"),
    id: identifier,
    type: verdict,
    means: z.array(z.enum(CONFIRMATION_MEANS)).max(CONFIRMATION_MEANS.length),
    reason: prose,
    by: word,
    at: moment,
    suggestion: suggestionSchema,
    revision: count,
    level: identifier.optional(),
    answers: z
      .array(z.strictObject({ rule: ruleId, words: prose }))
      .max(MAX_LIST)
      .optional(),
    earlier: z
      .strictObject({
        model: word,
        digest: sha256,
        ranking: z
          .array(z.strictObject({ type: z.enum(BREAK_TYPE_IDS), probability: z.number().min(0).max(1) }))
          .max(3),
        unlike: z.number().min(0).max(1),
      })
      .optional(),
    resolves: z.array(identifier).min(1).max(MAX_LIST).optional(),
  }),
  z.strictObject({ kind: z.literal("reopened"), id: identifier, reason: prose, by: word, at: moment }),
]);

const marksRead = z.array(markSchema).max(MAX_MARKS);
export const readingSchema: z.ZodType<SecondReading> = z.strictObject({
  id: identifier,
  type: verdict,
  marks: z.strictObject({ machine: marksRead, takeUp: marksRead }),
  note: prose,
  by: word,
  at: moment,
  beside: identifier.nullable(),
  revision: count,
});

export const cameWithSchema: z.ZodType<CameWith> = z.strictObject({
  kind: z.enum(["set", "bench-file", "pictures", "table"]),
  name: word,
  version: z.string().max(100).nullable(),
  licence: word.nullable(),
  creator: word.nullable(),
  sha256: sha256.nullable(),
  by: word,
  at: moment,
});

const faceFit: z.ZodType<FaceFit> = z.strictObject({
  machinePhotographId: identifier,
  takeUpPhotographId: identifier,
  turnDeg: z.number().min(-360).max(360),
  shiftD: z.tuple([finite, finite]),
  scale: positive,
  score: z.number().min(0).max(1),
  says: z.enum(["belong-together", "do-not-fit", "cannot-tell"]),
  finder: z.string().max(100),
});

export const pairingSchema: z.ZodType<Pairing> = z.strictObject({
  mate: z.enum(["yes", "no", "unsure"]).nullable(),
  d0AgreePct: z.number().min(-1000).max(1000).nullable(),
  fit: faceFit.optional(),
});

const unknownWord = word.nullable();
const unknownNumber = positive.nullable();
const unknownFlag = z.boolean().nullable();
const unknownPercent = z.number().min(0).max(100).nullable();
const testFlag = z.boolean().optional();

export const testResultsSchema = z
  .object({
    bake_recovers: testFlag,
    spheroidised: testFlag,
    oxide_on_plane: testFlag,
    grain_change: testFlag,
    white_layer: testFlag,
    void_chains: testFlag,
    core_hv: positive.optional(),
    surface_hv: positive.optional(),
    torsion_delaminates: testFlag,
    sound_breaks_slant: testFlag,
    delayed_fracture: testFlag,
    strain_rate_sensitive: testFlag,
  })
  .catchall(measureValue)
  .refine((table) => Object.keys(table).length <= 60 && Object.keys(table).every((k) => /^[A-Za-z]\w{0,59}$/.test(k)), {
    error: "At most 60 results, each under a plain name.",
  });

export const passSchema = z.strictObject({
  die: z.string().max(100),
  semiAngleDeg: z.number().min(0).max(90),
  reductionPct: z.number().min(0).max(100),
});

export const contextSchema: z.ZodType<WireBreak["context"]> = z.strictObject({
  metal: unknownWord,
  grade: unknownWord,
  temper: unknownWord,
  nominalDiameterMm: unknownNumber,
  measuredDiameterMm: unknownNumber,
  measuredDiameterUMm: unknownNumber,
  refRaPct: unknownPercent,
  refRaUPct: unknownPercent,
  cast: unknownWord,
  rod: unknownWord,
  coil: unknownWord,
  spool: unknownWord,
  machine: unknownWord,
  position: unknownWord,
  lineSpeedMps: unknownNumber,
  brokeAt: z.string().max(60).nullable(),
  drawDirection: z.enum(["recorded", "not-recorded", "not-applicable"]),
  machineOrder: z.array(word).max(100),
  reversals: z.int().min(0).max(1000).nullable(),
  whichEndLeads: unknownWord,
  transfers: z.array(z.enum(TRANSFER_KINDS)).max(100).nullable(),
  passes: z.array(passSchema).max(200).nullable(),
  weldLogDistanceM: unknownNumber,
  weldLogClear: unknownFlag,
  oxygenPpm: unknownNumber,
  hydrogenAnneal: unknownFlag,
  pickled: unknownFlag,
  delayedH: unknownNumber,
  firstTrip: unknownFlag,
  strengthMPa: unknownNumber,
  slipOrGrabLogged: unknownFlag,
  repeatsInCast: unknownFlag,
  tests: testResultsSchema,
  process: prose.nullable(),
  notes: prose.nullable(),
});

/** A drawing route. What is wrong is told field by field by `checkRoute`. */
export const routeSchema: z.ZodType<Route> = z.unknown().transform((value, context): Route => {
  const { route, faults } = checkRoute(value);
  if (route !== null) return route;
  for (const { field, code, reason } of faults)
    context.addIssue({ code: "custom", path: pathOf(field), message: reason, params: { code } });
  return z.NEVER;
});

/** `machines[1].dies[3].outMm` as the steps of a path. */
const pathOf = (field: string): (string | number)[] =>
  field.split(/[.[\]]+/).flatMap((step) => (step === "" ? [] : [/^\d+$/.test(step) ? Number(step) : step]));

const wireBreakSchema: z.ZodType<WireBreak> = z
  .strictObject({
    version: z.literal(RECORD_VERSION),
    id: identifier,
    number: word,
    revision: count,
    createdAt: moment,
    updatedAt: moment,
    rolesKnown: z.boolean(),
    ends: z.strictObject({ machine: end, takeUp: end }),
    context: contextSchema,
    pairing: pairingSchema,
    confirmations: z.array(confirmationSchema).max(MAX_LIST),
    readings: z.array(readingSchema).min(1).max(MAX_LIST).optional(),
    route: routeSchema.optional(),
    cameWith: z.array(cameWithSchema).min(1).max(MAX_LIST).optional(),
    demo: z.boolean(),
    binnedAt: moment.nullable(),
  })
  .superRefine((wireBreak, context) => {
    const contradict = (path: (string | number)[], message: string) =>
      context.addIssue({ code: "custom", path, message, params: { code: "contradiction" } });
    const seen = new Set<string>();
    const once = (id: string, path: (string | number)[]) => {
      if (seen.has(id)) contradict(path, "Two entries of this break carry the same identifier.");
      seen.add(id);
    };
    wireBreak.readings?.forEach((reading, i) => once(`r:${reading.id}`, ["readings", i, "id"]));
    for (const side of ["machine", "takeUp"] as const) {
      const filed = new Set(wireBreak.ends[side].photographs.map((p) => p.id));
      wireBreak.ends[side].photographs.forEach((p, i) => once(`p:${p.id}`, ["ends", side, "photographs", i, "id"]));
      wireBreak.ends[side].marks.forEach((m, i) => {
        once(`m:${m.id}`, ["ends", side, "marks", i, "id"]);
        if (m.photographId !== null && !filed.has(m.photographId))
          contradict(
            ["ends", side, "marks", i, "photographId"],
            "The mark lies on a photograph that is not filed under its end.",
          );
      });
    }
  });

/**
 * A break record from storage or from a file, checked field by field.
 *
 * Older versions are brought up first. Texts stay texts: nothing is interpreted, and a field that is not known is
 * refused rather than lost.
 *
 * @throws RecordError naming the field, with a plain sentence and the next step.
 */
export function parseWireBreak(record: unknown): WireBreak {
  const result = wireBreakSchema.safeParse(migrate(record), { reportInput: true });
  if (!result.success)
    throw new RecordError(
      faultsOf(result.error),
      "Nothing was taken over. Ask for the file again, or open an older copy.",
    );
  return result.data;
}
