import "../../model/break/jitless.ts";
import * as z from "zod";
import type { Edit, MarkPatch, PairingPatch, PhotographPatch } from "../../model/break/edits.ts";
import { EMPTY_CONTEXT, newBreak } from "../../model/break/new-break.ts";
import {
  cameWithSchema,
  confirmationSchema,
  contextSchema,
  markSchema,
  pairingSchema,
  parseWireBreak,
  photographSchema,
  readingSchema,
  routeSchema,
} from "../../model/break/record-schema.ts";
import type { BreakContext, Confirmation, Mark, Pairing, Photograph } from "../../model/break/wire-break.ts";
import type { EditOrigin } from "./contract.ts";

/** Edits that a "together" may hold; one that re-files a photograph holds two per mark. */
const MAX_TOGETHER = 20_000;
/** Lines of others that one exchange may bring into one break. */
const MAX_TAKEN_OVER = 200_000;
const AT = "2000-01-01T00:00:00Z";

const identifier = z.string().min(1).max(200);
const side = z.enum(["machine", "takeUp"]);
const place = z.int().min(0).max(1e6);
const person = z.string().max(500);
const moment = z.string().max(40);

const SOME_PHOTOGRAPH: Photograph = {
  id: "some",
  hash: "0".repeat(64),
  fileName: "",
  mediaType: "",
  byteLength: 0,
  widthPx: 1,
  heightPx: 1,
  orientation: 1,
  capturedAt: null,
  view: "other",
  turnDeg: 0,
  scale: null,
  axisDeg: null,
  rendered: false,
};
const NO_PAIRING: Pairing = { mate: null, d0AgreePct: null };
const SOME_MARK: Mark = {
  id: "some",
  feature: "end_hole",
  state: "present",
  photographId: null,
  geometry: null,
  given: {},
  note: "",
  by: "",
  at: AT,
};

/**
 * A patch is right when it names known fields and a whole record that takes it over is right.
 * @param extras – fields that a record may leave out; null in the patch leaves them out.
 */
function patchOf<Patch extends object, Whole extends object, Key extends keyof Whole & string>(
  whole: z.ZodType<Whole>,
  base: Whole,
  keys: readonly Key[],
  extras: readonly string[] = [],
): z.ZodType<Patch> {
  const known = new Set<string>([...keys, ...extras]);
  const set = (patch: object) => Object.entries(patch).filter(([k, v]) => v !== null || !extras.includes(k));
  return z.custom<Patch>(
    (patch) =>
      typeof patch === "object" &&
      patch !== null &&
      !Array.isArray(patch) &&
      Object.keys(patch).every((key) => known.has(key)) &&
      whole.safeParse({ ...base, ...Object.fromEntries(set(patch)) }).success,
    { error: "A changed field is not known or out of bounds." },
  );
}

/** A confirmation is right when a break that carries it is right. */
const confirmation = z.custom<Confirmation>(
  (value) => {
    try {
      parseWireBreak({ ...newBreak("some", "some", AT), confirmations: [value] });
      return true;
    } catch {
      return false; // Why it is wrong was told when the record itself was read; here only whether it is.
    }
  },
  { error: "The confirmation has a field that is not known or out of bounds." },
);

/** One schema per kind: a kind without one does not compile. */
const kinds = {
  "set-number": z.strictObject({ kind: z.literal("set-number"), number: z.string().max(500) }),
  "set-context": z.strictObject({
    kind: z.literal("set-context"),
    patch: patchOf<Partial<BreakContext>, BreakContext, keyof BreakContext>(
      contextSchema,
      EMPTY_CONTEXT,
      Object.keys(EMPTY_CONTEXT) as (keyof BreakContext)[],
    ),
  }),
  "set-pairing": z.strictObject({
    kind: z.literal("set-pairing"),
    patch: patchOf<PairingPatch, Pairing, "mate" | "d0AgreePct">(
      pairingSchema,
      NO_PAIRING,
      ["mate", "d0AgreePct"],
      ["fit"],
    ),
  }),
  "set-roles-known": z.strictObject({ kind: z.literal("set-roles-known"), known: z.boolean() }),
  "set-end": z.strictObject({
    kind: z.literal("set-end"),
    side,
    patch: z.strictObject({
      recovery: z.enum(["recovered", "not-recovered", "awaited"]).optional(),
      note: z.string().max(20_000).optional(),
    }),
  }),
  "swap-ends": z.strictObject({ kind: z.literal("swap-ends") }),
  "add-photograph": z.strictObject({
    kind: z.literal("add-photograph"),
    side,
    index: place,
    photograph: photographSchema,
  }),
  "remove-photograph": z.strictObject({ kind: z.literal("remove-photograph"), photographId: identifier }),
  "move-photograph": z.strictObject({
    kind: z.literal("move-photograph"),
    photographId: identifier,
    to: side,
    index: place,
  }),
  "set-photograph": z.strictObject({
    kind: z.literal("set-photograph"),
    photographId: identifier,
    patch: patchOf<PhotographPatch, Photograph, "view" | "turnDeg" | "scale" | "axisDeg">(
      photographSchema,
      SOME_PHOTOGRAPH,
      ["view", "turnDeg", "scale", "axisDeg"],
      ["deepTone", "light", "page", "seeing", "turnedDown", "stack"],
    ),
  }),
  "add-mark": z.strictObject({ kind: z.literal("add-mark"), side, index: place, mark: markSchema }),
  "remove-mark": z.strictObject({ kind: z.literal("remove-mark"), markId: identifier }),
  "set-mark": z.strictObject({
    kind: z.literal("set-mark"),
    markId: identifier,
    patch: patchOf<MarkPatch, Mark, "feature" | "state" | "photographId" | "geometry" | "given" | "note">(
      markSchema,
      SOME_MARK,
      ["feature", "state", "photographId", "geometry", "given", "note"],
      ["proposed"],
    ),
  }),
  "set-route": z.strictObject({ kind: z.literal("set-route"), route: routeSchema.nullable() }),
  "set-binned": z.strictObject({ kind: z.literal("set-binned"), at: z.string().max(40).nullable() }),
  "add-confirmation": z.strictObject({ kind: z.literal("add-confirmation"), confirmation }),
  "add-reading": z.strictObject({ kind: z.literal("add-reading"), reading: readingSchema }),
  "set-came-with": z.strictObject({ kind: z.literal("set-came-with"), list: z.array(cameWithSchema).max(1000) }),
  "take-over": z.strictObject({
    kind: z.literal("take-over"),
    get lines() {
      return z
        .array(z.strictObject({ after: z.array(z.int().min(0)).max(1000), edit: editSchema, by: person, at: moment }))
        .max(MAX_TAKEN_OVER);
    },
    get edits(): z.ZodArray<z.ZodType<Edit>> {
      return z.array(editSchema).max(MAX_TOGETHER);
    },
    get back(): z.ZodArray<z.ZodType<Edit>> {
      return z.array(editSchema).max(MAX_TOGETHER);
    },
    confirmations: z.array(z.strictObject({ index: place, line: confirmationSchema })).max(1000),
    readings: z.array(z.strictObject({ index: place, line: readingSchema })).max(1000),
  }),
  together: z.strictObject({
    kind: z.literal("together"),
    get edits(): z.ZodArray<z.ZodType<Edit>> {
      return z.array(editSchema).max(MAX_TOGETHER);
    },
  }),
} satisfies Record<Edit["kind"], z.ZodType<Edit>>;

/** A change of a break as it comes from outside, checked field by field. */
export const editSchema: z.ZodType<Edit> = z.discriminatedUnion("kind", [
  kinds["set-number"],
  kinds["set-context"],
  kinds["set-pairing"],
  kinds["set-roles-known"],
  kinds["set-end"],
  kinds["swap-ends"],
  kinds["add-photograph"],
  kinds["remove-photograph"],
  kinds["move-photograph"],
  kinds["set-photograph"],
  kinds["add-mark"],
  kinds["remove-mark"],
  kinds["set-mark"],
  kinds["set-route"],
  kinds["set-binned"],
  kinds["add-confirmation"],
  kinds["add-reading"],
  kinds["set-came-with"],
  kinds["take-over"],
  kinds.together,
]);

const ORIGINS = ["reader", "load", "import", "undo", "redo", "confirmation"] as const satisfies readonly EditOrigin[];

/** A log line of a bench file. */
export const fileLogEntrySchema = z.strictObject({
  n: z.int().min(1),
  of: z.int().min(1).nullable(),
  revision: z.int().min(1),
  edit: editSchema,
  inverse: editSchema.nullable(),
  origin: z.enum(ORIGINS),
  by: person,
  at: moment,
});
