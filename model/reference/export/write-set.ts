import { originalsOf, originalsOfEdit } from "../../break/originals.ts";
import type { Edit } from "../../break/edits.ts";
import type { WireBreak } from "../../break/wire-break.ts";
import { standingConfirmations } from "../levels.ts";
import type { SetBreak, Split } from "../member.ts";
import { secondReadings } from "./second-readings.ts";
import { groupOf } from "../splits.ts";
import { croissantOf } from "./croissant.ts";
import { cropFileName, type CropFigures, cropIdOf, CropTable } from "./crop-table.ts";
import { type CropFrame, cropOf } from "./crops.ts";
import { codeOfPerson, withCodes } from "./people.ts";
import { picturesOf, SetBuilder, type WantedPicture, type WrittenPicture } from "./set-builder.ts";
import {
  annotationsPath,
  caseIdOf,
  cropPath,
  extensionOf,
  mustRedraw,
  originalPath,
  PATHS,
  picturePath,
  recordPath,
} from "./set-names.ts";
import type { SetOptions } from "./set-options.ts";
import { dataSheet, type SetFigures, setWords } from "./set-words.ts";
import { saysPosition, stripped } from "./strip/strip.ts";

/** A break as it comes from wherever breaks are kept. */
export interface SourceBreak {
  readonly record: WireBreak;
  readonly log: readonly { readonly edit: Edit; readonly inverse: Edit | null }[];
  /** What goes into the folder of records: the break with its log, as a bench file holds it. */
  readonly file: object;
}

export interface SetSource {
  breakOf(id: string): Promise<SourceBreak>;
  /** Bytes of an original, checked against its hash; null = not there or not whole. */
  original(hash: string): Promise<Uint8Array<ArrayBuffer> | null>;
  /** The picture upright, without any data about it, as `mediaType`; null when it cannot be decoded. */
  redraw(
    bytes: Uint8Array<ArrayBuffer>,
    photograph: WantedPicture["photograph"],
    mediaType: string,
  ): Promise<Uint8Array<ArrayBuffer> | null>;
  /** A part of the upright picture as PNG without any data about it; null when it cannot be decoded. Left out = makes none. */
  crop?(
    bytes: Uint8Array<ArrayBuffer>,
    photograph: WantedPicture["photograph"],
    frame: CropFrame,
  ): Promise<Uint8Array<ArrayBuffer> | null>;
}

/** Takes files one after the other; each is written before the next is asked for. */
export interface SetSink {
  /** @returns SHA-256, lower-case hex. */
  addPicture(path: string, bytes: Uint8Array<ArrayBuffer>): Promise<string>;
  addText(path: string, text: string): Promise<string>;
}

export interface SetPlan {
  readonly members: readonly SetBreak[];
  readonly splits: ReadonlyMap<string, Split>;
}

export interface SetWork {
  /** Called before each photograph; it may throw to stop. */
  readonly beforeEach?: () => void;
  readonly onProgress?: (done: number, total: number) => void;
}

export interface SetReport {
  readonly breaks: number;
  readonly photographs: number;
  readonly annotations: number;
  readonly originals: number;
  readonly missing: SetFigures["missing"];
  /** null = none were asked for. */
  readonly crops: CropFigures | null;
  readonly builder: SetBuilder;
}

/** Name of the list that tells another bench where the records and originals of a set lie. */
export const RECORDS_FORMAT = "endpair-set-records";

/**
 * Writes a whole set, one photograph in memory at a time: pictures, marks, tables, records, data sheet, manifest,
 * description, in this order. The order of breaks follows their identifiers, so the same bench gives the same set.
 *
 * @throws RangeError when crops are asked for and the source makes none; whatever source, sink or `beforeEach` throw.
 * Nothing is finished then.
 */
export async function writeSet(
  source: SetSource,
  sink: SetSink,
  plan: SetPlan,
  options: SetOptions,
  work: SetWork = {},
): Promise<SetReport> {
  if (options.crops && source.crop === undefined) throw new RangeError("This source of a set makes no crops.");
  const builder = new SetBuilder(options);
  const cropTable = options.crops ? new CropTable() : null;
  const hashes = new Map<string, string>();
  const missing: { number: string; fileName: string; why: string }[] = [];
  /** Where the bytes of an original lie in the set. */
  const places = new Map<string, string>();
  const readers = new Set<string>();
  const total = plan.members.reduce((sum, member) => sum + member.hashes.length, 0);
  let readTwice = 0;
  const second = secondReadings();
  let done = 0;

  const addPicture = async (path: string, bytes: Uint8Array<ArrayBuffer>): Promise<string> => {
    const sha256 = await sink.addPicture(path, bytes);
    hashes.set(path, sha256);
    return sha256;
  };
  const addText = async (path: string, text: string): Promise<void> => {
    hashes.set(path, await sink.addText(path, text));
  };

  const records: { readonly path: string; readonly breakId: string }[] = [];
  for (const member of [...plan.members].sort((a, b) => (a.id < b.id ? -1 : 1))) {
    const { record, log, file } = await source.breakOf(member.id);
    const written = new Map<string, WrittenPicture>();
    const split = plan.splits.get(member.id)!;
    const cropped: { readonly wanted: WantedPicture; readonly frame: CropFrame }[] = [];
    for (const wanted of picturesOf(record, options)) {
      work.beforeEach?.();
      const { photograph, fileName } = wanted;
      const bytes = await source.original(photograph.hash);
      const picture =
        bytes === null ? "not on this bench, or damaged" : await pictureFor(source, wanted, bytes, options);
      if (typeof picture === "string" || bytes === null)
        missing.push({ number: record.number, fileName: photograph.fileName, why: String(picture) });
      else {
        const path = picturePath(fileName);
        const sha256 = await addPicture(path, picture);
        written.set(photograph.id, { sha256 });
        if (sha256 === photograph.hash) places.set(photograph.hash, path);
        const frame = await addCrop(record, wanted, bytes, split);
        if (frame !== null) cropped.push({ wanted, frame });
      }
      work.onProgress?.(++done, total);
    }
    const photoIds = builder.add(record, member, split, groupOf(member, options.plan.groupBy), written);
    for (const { wanted, frame } of cropped) {
      const { photograph, side, fileName } = wanted;
      const photoId = photoIds.get(photograph.id)!;
      const [cropId, caseId] = [cropIdOf(fileName), caseIdOf(record.id)];
      cropTable?.add({ cropId, photoId, caseId, side, photograph, frame }, member, split);
    }
    const people = standingConfirmations(record).map(({ by }) => codeOfPerson(by, options.peopleSeed));
    people.forEach((person) => readers.add(person));
    if (new Set(people).size > 1) readTwice++;
    second.add(record);
    if (!options.withRecords) continue;
    const path = recordPath(caseIdOf(record.id));
    await addText(path, sortedJson(withCodes(file, options.peopleSeed)));
    records.push({ path, breakId: record.id });
    await addOriginals(record, log);
  }

  async function addCrop(
    record: WireBreak,
    { photograph, side, fileName }: WantedPicture,
    bytes: Uint8Array<ArrayBuffer>,
    split: Split,
  ): Promise<CropFrame | null> {
    if (!options.crops) return null;
    const frame = cropOf(record.ends[side], photograph, options.crops);
    const crop = typeof frame === "string" ? null : ((await source.crop?.(bytes, photograph, frame)) ?? null);
    if (typeof frame === "string" || crop === null) {
      cropTable?.leaveOut(typeof frame === "string" ? frame : "not-decoded");
      return null;
    }
    await addPicture(cropPath(cropFileName(split, cropIdOf(fileName))), crop);
    return frame;
  }

  async function addOriginals(record: WireBreak, log: SourceBreak["log"]): Promise<void> {
    const named = [
      ...originalsOf(record),
      ...log.flatMap(({ edit, inverse }) => [...originalsOfEdit(edit), ...(inverse ? originalsOfEdit(inverse) : [])]),
    ];
    for (const { hash, fileName } of named) {
      if (places.has(hash) || missing.some((m) => m.number === record.number && m.fileName === fileName)) continue;
      work.beforeEach?.();
      const bytes = await source.original(hash);
      const why =
        bytes === null
          ? "not on this bench, or damaged"
          : options.metadata === "all"
            ? "the original goes along only where nothing had to be taken out of it"
            : saysPosition(bytes) === false
              ? null
              : "the original says where it was taken, or cannot be searched for it";
      if (why !== null || bytes === null) missing.push({ number: record.number, fileName, why: why ?? "" });
      else {
        const path = originalPath(hash, extensionOf(mediaTypeOf(bytes)));
        await addPicture(path, bytes);
        places.set(hash, path);
      }
    }
  }

  const figures: SetFigures = {
    breaks: plan.members,
    splits: plan.splits,
    photographs: builder.photographs,
    annotations: builder.marks,
    readers: readers.size,
    readTwice,
    second: second.figures(),
    crops: cropTable?.figures ?? null,
    missing,
  };
  const words = setWords(options, figures);
  for (const split of builder.splits) await addText(annotationsPath(split), JSON.stringify(builder.cocoOf(split)));
  const tables = builder.tables();
  for (const table of ["cases", "photos", "reviews", "marks"] as const) await addText(PATHS[table], tables[table]);
  if (cropTable !== null) await addText(PATHS.crops, cropTable.text);
  if (options.withRecords)
    await addText(
      PATHS.records,
      sortedJson({
        format: RECORDS_FORMAT,
        version: 1,
        breaks: records,
        originals: [...places].map(([hash, path]) => ({ hash, path })),
      }),
    );
  await addText(PATHS.readme, dataSheet(options, words, figures));
  await addText(PATHS.manifest, manifestText(hashes));
  await sink.addText(PATHS.croissant, `${JSON.stringify(croissantOf(options, words, hashes), null, 1)}\n`);
  return {
    breaks: plan.members.length,
    photographs: builder.photographs,
    annotations: builder.marks,
    originals: places.size,
    missing,
    crops: cropTable?.figures ?? null,
    builder,
  };
}

/** The bytes to write, or why there are none. */
async function pictureFor(
  source: SetSource,
  { photograph, fileName }: WantedPicture,
  bytes: Uint8Array<ArrayBuffer>,
  { metadata }: SetOptions,
): Promise<Uint8Array<ArrayBuffer> | string> {
  const clean = mustRedraw(photograph, metadata) ? null : stripped(bytes, metadata);
  if (clean !== null) return clean.bytes;
  const mediaType = fileName.endsWith(".jpg") ? "image/jpeg" : "image/png";
  // A file that is drawn anew because it cannot be searched would need another name.
  if (!mustRedraw(photograph, metadata) && photograph.mediaType !== mediaType)
    return "it cannot be searched for the place where it was taken";
  return (await source.redraw(bytes, photograph, mediaType)) ?? "it cannot be decoded";
}

function mediaTypeOf(bytes: Uint8Array): string {
  if (bytes[0] === 0xff) return "image/jpeg";
  if (bytes[0] === 0x89) return "image/png";
  if (bytes[0] === 0x52) return "image/webp";
  return bytes[1] === 0x4d && bytes[0] === 0x42 ? "image/bmp" : "image/tiff";
}

/** "<hash>  <path>" per line, paths in order: `sha256sum -c` checks an unpacked set. */
export const manifestText = (hashes: ReadonlyMap<string, string>): string =>
  [...hashes]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([path, hash]) => `${hash}  ${path}\n`)
    .join("");

/** JSON with sorted keys: the same content gives the same text. */
export const sortedJson = (value: unknown): string =>
  JSON.stringify(value, (_key, inner: unknown) =>
    inner === null || typeof inner !== "object" || Array.isArray(inner)
      ? inner
      : Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))),
  );
