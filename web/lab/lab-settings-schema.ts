import "../../model/break/jitless.ts";
import * as z from "zod";
import { BREAK_TYPE_IDS } from "../../model/evidence/break-type-ids.ts";
import type { Calibration, ScaleProfile } from "../../model/measure/profile.ts";
import { OLD_RECORD_FIELDS } from "../../model/reference/import/columns.ts";
import type { NamedMapping } from "../../model/reference/import/named-mapping.ts";
import { faultsOfLadder, type Ladder } from "../../model/reference/ladder.ts";
import { SPLITS } from "../../model/reference/member.ts";
import type { FrozenVersion } from "../../model/reference/set-version-frozen.ts";
import { isVersion } from "../../model/reference/set-version.ts";
import type { SplitPlan } from "../../model/reference/splits.ts";
import { checkDieSeries } from "../../model/route/check-route.ts";
import type { DieSeries } from "../../model/route/route.ts";
import type { Shelf } from "../model/model-shelf.ts";
import type { SetSettings } from "../reference/set-settings.ts";
import { LAB_FORMAT, type LabSettings } from "./lab-settings.ts";

const MOST = 5_000;
const identifier = z.string().min(1).max(200);
const word = z.string().max(500);
const prose = z.string().max(20_000);
const time = z.string().max(40);
const positive = z.number().min(0).max(1e9);
const count = z.int().min(0).max(1e9);
const share = z.number().min(0).max(1);
const sha256 = z.string().regex(/^[0-9a-f]{64}$/);
const uncertain = z.strictObject({ value: positive, u: positive });
const place = z.tuple([z.number(), z.number()]);

const calibration = {
  pxPerMm: uncertain,
  pxPerMmY: uncertain.optional(),
  readings: z
    .array(
      z.strictObject({
        lengthMm: positive,
        px: positive,
        direction: z.enum(["x", "y"]),
        line: z.tuple([place, place]).optional(),
      }),
    )
    .max(MOST),
  micrometer: z.strictObject({ number: word, relativeU: positive }),
  resolutionPx: positive.optional(),
  picturePx: z.tuple([count, count]).optional(),
  photograph: z.strictObject({ fileName: word, hash: sha256 }).optional(),
  by: word,
  calibratedAt: time,
  dueAt: time,
} as const;
const profile: z.ZodType<ScaleProfile> = z.strictObject({
  ...calibration,
  id: identifier,
  name: word,
  setUp: z.strictObject({ objective: word, zoom: word, camera: word }).optional(),
  history: z
    .array(z.strictObject(calibration) satisfies z.ZodType<Calibration>)
    .max(MOST)
    .optional(),
  outOfUseAt: time.optional(),
});

const ladder = z.custom<Ladder>((value) => faultsOfLadder(value).length === 0);
const dieSeries = z.custom<DieSeries>((value) => checkDieSeries(value).series !== null);
const mapping: z.ZodType<NamedMapping> = z.strictObject({
  name: word,
  separator: z.enum([",", ";", "\t"]),
  columns: z.array(z.tuple([word, z.enum(OLD_RECORD_FIELDS).nullable()])).max(1_000),
});

const plan: z.ZodType<SplitPlan> = z.strictObject({
  salt: word,
  shares: z.strictObject({ train: share, val: share, test: share }),
  groupBy: z.enum(["break", "cast", "coil"]),
  how: z.enum(["by-hash", "balanced"]),
  testFrozen: z.boolean(),
});
const set: z.ZodType<SetSettings> = z.strictObject({
  version: z.literal(1),
  level: identifier.nullable(),
  plan,
  leftOut: z
    .array(z.strictObject({ breakId: identifier, number: word, reason: prose, by: word, at: time }))
    .max(200_000),
  apart: z.array(z.strictObject({ hashes: z.tuple([sha256, sha256]), reason: prose, by: word, at: time })).max(200_000),
  given: z.strictObject({
    name: word,
    creator: word,
    description: prose,
    url: z.string().max(2_000),
    licence: word,
    metadata: z.enum(["position", "all"]),
    withRecords: z.boolean(),
    cropPx: z.int().min(1).max(100_000).nullable(),
  }),
});
const version: z.ZodType<FrozenVersion> = z
  .strictObject({
    name: word,
    version: z.string().refine(isVersion),
    date: time,
    members: z
      .array(
        z.strictObject({
          breakId: identifier,
          number: word,
          type: z.enum([...BREAK_TYPE_IDS, "undetermined"]),
          split: z.enum(SPLITS),
          level: identifier.nullable(),
          reason: prose,
        }),
      )
      .max(200_000),
    by: word,
    at: time,
    note: prose,
    plan,
    level: identifier.nullable(),
    testGroups: z.array(z.string().max(1_000)).max(200_000),
    revisions: z.array(count).max(200_000),
    leftOut: z.array(z.strictObject({ number: word, reason: prose })).max(200_000),
  })
  .refine(({ members, revisions }) => members.length === revisions.length);

const weights = z.record(
  z.union([sha256, z.literal("shipped")]),
  z.strictObject({ perUnit: z.number().min(-1e6).max(1e6), model: share, breaks: count }),
);
const shelf: z.ZodType<Shelf> = z.strictObject({
  version: z.literal(1),
  inUse: sha256.nullable(),
  models: z
    .array(
      z.strictObject({
        digest: sha256,
        name: word,
        from: z.enum(["learnt-here", "file"]),
        byteLength: count,
        breaks: count,
        types: count,
        right: share,
        judged: count,
      }),
    )
    .max(MOST),
  lines: z
    .array(
      z.strictObject({
        kind: z.enum(["adopted", "rolled-back"]),
        digest: sha256.nullable(),
        by: word,
        at: time,
        why: prose,
      }),
    )
    .max(MOST),
  weights,
});

/** What came in a file as the settings of a lab, every field judged: strict, so nothing else comes along. */
export const labSettingsSchema: z.ZodType<LabSettings> = z.strictObject({
  format: z.literal(LAB_FORMAT),
  version: z.literal(1),
  profiles: z.array(profile).max(MOST),
  ladder: ladder.nullable(),
  dieSeries: z.array(dieSeries).max(MOST),
  mappings: z.array(mapping).max(MOST),
  set: set.nullable(),
  versions: z.array(version).max(MOST),
  peopleSeed: z.string().min(1).max(200).nullable(),
  shelf,
  models: z.record(
    sha256,
    z.strictObject({
      base64: z.base64().max(96 * 1024 * 1024),
      learntFrom: z.array(identifier).max(200_000).nullable(),
    }),
  ),
});
