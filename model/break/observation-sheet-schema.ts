import "./jitless.ts";
import * as z from "zod";
import { FEATURES, type FeatureSpec, type MeasureSpec, VIEW_IDS, type ViewId } from "../evidence/features.ts";
import { MARK_STATES, TRANSFER_KINDS } from "../evidence/observations.ts";
import { geometrySchema } from "./geometry-schema.ts";

/** Older and looser spellings of views, read but never written. */
export const VIEW_ALIASES = {
  long_section: "section_long",
  longitudinal_section: "section_long",
  section_longitudinal: "section_long",
  trans_section: "section_trans",
  transverse_section: "section_trans",
  section_transverse: "section_trans",
  cross_section: "section_trans",
  end: "end_on",
  side: "side_0",
  tilt: "tilt_45",
} as const satisfies Readonly<Record<string, ViewId>>;
export type ViewAlias = keyof typeof VIEW_ALIASES;

const view = z.enum([...VIEW_IDS, ...(Object.keys(VIEW_ALIASES) as ViewAlias[])]).meta({ id: "view" });
const fileName = z.string().min(1).max(500);
const prose = z.string().max(20_000);

/** A fact that may be left out, null, or the word "unknown": all three mean the same. */
const maybe = <T extends z.ZodType>(schema: T) => z.union([schema, z.null(), z.literal("unknown")]).optional();
const text = z.union([prose, z.null()]).optional();
const flag = maybe(z.boolean());
const amount = maybe(z.number().min(0).max(1e9));
const percent = maybe(z.number().min(0).max(100));

/** Angles are accepted on either side of the axis; every other bound is the one of the feature table. */
function measureSchema(spec: MeasureSpec) {
  switch (spec.kind) {
    case "number": {
      const max = spec.unit === "°" ? 180 : (spec.max ?? 1e9);
      return z
        .number()
        .min(spec.min ?? -1e9)
        .max(max)
        .nullable()
        .optional();
    }
    case "flag":
      return z.boolean().nullable().optional();
    case "choice":
      return z.enum(spec.choices).nullable().optional();
    case "text":
      return z.string().max(2000).nullable().optional();
  }
}

function featureSchema(spec: FeatureSpec) {
  return z
    .strictObject({
      feature: z.literal(spec.id),
      state: z.enum(MARK_STATES).optional(),
      photo: fileName.nullable().optional(),
      geometry: geometrySchema.nullable().optional(),
      measures: z
        .strictObject({
          ...Object.fromEntries(spec.measures.map((m) => [m.key, measureSchema(m)])),
          present: z
            .boolean()
            .optional()
            .meta({ description: "Older spelling of state: false = looked for and absent." }),
        })
        .optional(),
      note: prose.optional(),
    })
    .meta({ description: `${spec.code} ${spec.name}` });
}

const feature = z.discriminatedUnion("feature", [
  featureSchema(FEATURES[0]),
  ...FEATURES.slice(1).map((spec) => featureSchema(spec)),
]);

const end = z.strictObject({
  role: z.enum(["machine", "spool", "unknown"]),
  recovered: z.boolean().optional().meta({ description: "Left out = true." }),
  views: z.array(view).max(100).optional(),
  photos: z
    .array(
      z.strictObject({
        file: fileName,
        view: view.optional(),
        px_per_mm: z.number().gt(0).max(1e6).nullable().optional(),
      }),
    )
    .max(200)
    .optional(),
  features: z.array(feature).max(5000).optional(),
  note: prose.optional(),
});

const pass = z.strictObject({
  die: z.union([z.string().max(100), z.number().min(0).max(1e6)]),
  semi_angle_deg: z.number().min(0).max(90),
  reduction_pct: z.number().min(0).max(100),
});

const testResults = z
  .object({
    ...Object.fromEntries(
      [
        "bake_recovers",
        "spheroidised",
        "oxide_on_plane",
        "grain_change",
        "white_layer",
        "void_chains",
        "torsion_delaminates",
        "sound_breaks_slant",
        "delayed_fracture",
        "strain_rate_sensitive",
      ].map((key) => [key, flag]),
    ),
    core_hv: amount,
    surface_hv: amount,
  })
  .catchall(z.union([z.boolean(), z.number().min(-1e9).max(1e9), z.string().max(2000), z.null()]));

/** Facts of the wire and the route. Any other key may carry text, and text alone. */
const contextShape = {
  draw_direction: text,
  machine_order: maybe(z.array(z.string().max(500)).max(100)),
  reversals: maybe(z.int().min(0).max(1000)),
  which_end_leads: text,
  transfers: maybe(z.array(z.enum(TRANSFER_KINDS)).max(100)),
  passes: maybe(z.array(pass).max(200)),
  weld_log_distance_m: amount,
  weld_log_clear: flag,
  oxygen_ppm: amount,
  hydrogen_anneal: flag,
  pickled: flag,
  delayed_h: amount,
  first_trip: flag,
  strength_mpa: amount,
  ref_ra_pct: percent,
  ref_ra_u_pct: percent,
  slip_or_grab_logged: flag,
  repeats_in_cast: flag,
  tests: maybe(testResults),
  d0_agree_pct: maybe(z.number().min(-1000).max(1000)),
  mate: maybe(z.union([z.enum(["yes", "no", "unsure"]), z.boolean()])),
  same_line_clock: flag,
  ends_swapped_check: flag,
  process: text,
  notes: text,
  temper: text,
  measured_mm: amount,
  measured_u_mm: amount,
  cast: text,
  rod: text,
  coil: text,
  spool: text,
  machine: text,
  position: text,
  line_speed_mps: amount,
  broke_at: z.union([z.string().max(60), z.null()]).optional(),
  rendered: z.boolean().optional().meta({ description: "True for invented breaks with rendered photographs." }),
} as const;
export const CONTEXT_KEYS: ReadonlySet<string> = new Set(Object.keys(contextShape));

const context = z.object(contextShape).catchall(z.union([prose, z.null()]));

/** What a teaching collection keeps beside a sheet; it says nothing about the metal and is passed over. */
const beside = z.unknown().optional().meta({ description: "Passed over." });

const sheetShape = z.strictObject({
  $schema: z.string().optional(),
  id: z.string().min(1).max(200),
  metal: z.string().max(200).nullable().optional(),
  grade: z.string().max(500).nullable().optional(),
  wire_mm: z.number().gt(0).max(1000).nullable().optional(),
  ends: z.array(end).max(2),
  context: context.optional(),
  class: beside,
  difficulty: beside,
  basis: beside,
  basis_sources: beside,
  why: beside,
  rules: beside,
  confirm_with: beside,
  expected_type: beside,
  expected_origin: beside,
  acceptable_types: beside,
  must_not: beside,
  must_ask: beside,
});
export type SheetInput = z.output<typeof sheetShape>;

/** One sheet as it may be written, older spellings included. */
export const sheetSchema = sheetShape
  .superRefine((sheet, found) => {
    const contradict = (path: (string | number)[], message: string) =>
      found.addIssue({ code: "custom", path, message, params: { code: "contradiction" } });
    const [one, other] = sheet.ends;
    if (one && other && one.role !== "unknown" && one.role === other.role)
      contradict(["ends", 1, "role"], `Both ends are called "${one.role}"; a break has one of each.`);
    sheet.ends.forEach((e, i) => {
      if (e.recovered === false && (e.features ?? []).length > 0)
        contradict(["ends", i, "features"], "An end that was not recovered cannot show features.");
      if (e.recovered === false && (e.photos ?? []).length > 0)
        contradict(["ends", i, "photos"], "An end that was not recovered cannot have photographs.");
      (e.photos ?? []).forEach((p, k) => {
        if ((e.photos ?? []).findIndex((q) => q.file === p.file) < k)
          contradict(["ends", i, "photos", k, "file"], "The same photograph is listed twice under this end.");
      });
      (e.features ?? []).forEach((f, k) => {
        const present = f.measures?.present;
        if (present !== undefined && f.state !== undefined && present !== (f.state === "present"))
          contradict(["ends", i, "features", k, "state"], "The state contradicts `measures.present`.");
      });
    });
  })
  .meta({ id: "sheet", description: "One break." });

/** A file holds one sheet or a list of them. */
export const sheetsSchema = z.union([sheetSchema, z.array(sheetSchema).max(100_000)]).meta({
  title: "Observation sheet",
  description: "What a wire break looks like: one object per break, or a list of them.",
});
