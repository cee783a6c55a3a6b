import type { CocoFile } from "../export/coco.ts";
import { readCsv } from "../export/csv.ts";
import { CROP_COLUMNS } from "../export/crop-table.ts";
import { CASE_COLUMNS, MARK_COLUMNS, PHOTO_COLUMNS, REVIEW_COLUMNS } from "../export/set-builder.ts";
import { annotationsPath, cropPath, PATHS, picturePath } from "../export/set-names.ts";
import { saysPosition } from "../export/strip/strip.ts";
import { RECORDS_FORMAT } from "../export/write-set.ts";
import { type Split, SPLITS } from "../member.ts";
import { checkCoco, noIds } from "./check-coco.ts";
import { checkCrops } from "./check-crops.ts";
import { checkCroissant } from "./check-croissant.ts";
import { checkPaths, readManifest } from "./check-paths.ts";
import { checkTables, type Row, rowsOf, type Tables } from "./check-tables.ts";
import { Faults } from "./fault.ts";

/** A set that lies somewhere: in a zip, a folder, the memory. */
export interface SetFiles {
  readonly paths: readonly string[];
  /** Paths that occur more than once. */
  readonly twice: readonly string[];
  /** @throws Error with a sentence when the file cannot be read. */
  read(path: string): Promise<Uint8Array<ArrayBuffer>>;
}

export interface PictureFacts {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly orientation: number;
}

/** What is known of one file once it was read. */
export interface FileFacts {
  readonly sha256: string;
  /** Of files in the folders of pictures and crops; null = no picture that can be read. */
  readonly picture?: PictureFacts | null;
  /** Whether a picture says where it was taken. */
  readonly saysPosition?: boolean;
}

/** What the check needs and the model has not: hashes, schemas, shapes, headers of pictures. */
export interface CheckTools {
  sha256(bytes: Uint8Array<ArrayBuffer>): Promise<string>;
  text(bytes: Uint8Array): string;
  /** Size as stored; null = no picture that can be read. */
  picture(bytes: Uint8Array<ArrayBuffer>): Promise<PictureFacts | null>;
  /** What a JSON Schema has against a file, each a sentence. */
  schema(which: "coco" | "croissant", content: unknown): readonly string[];
  /** What the SHACL shapes have against a description, each a sentence. */
  shapes(description: unknown): Promise<readonly string[]>;
  readonly onProgress?: (done: number, total: number) => void;
  /** What a check that was stopped already found out about a file; left out = nothing. */
  readonly known?: (path: string) => FileFacts | undefined;
  /** Called with what was found out anew, so that it can be kept. */
  readonly onFile?: (path: string, facts: FileFacts) => Promise<void>;
}

/** Checks a whole set. Every picture is read once, one after the other. */
export async function checkSet(files: SetFiles, tools: CheckTools): Promise<Faults> {
  const faults = new Faults();
  checkPaths(files.paths, files.twice, faults);
  const there = new Set(files.paths);
  const lacking = [PATHS.croissant, PATHS.manifest, PATHS.cases].filter((path) => !there.has(path));
  if (lacking.length > 0) {
    faults.add("not-a-set", lacking.join(", "), "It is not in the file, so this is no reference set.");
    return faults;
  }
  const facts = await readFiles(files, tools, faults);
  const hashes: ReadonlyMap<string, string> = new Map([...facts].map(([path, { sha256 }]) => [path, sha256]));
  const json = async (path: string): Promise<unknown> => {
    try {
      return JSON.parse(tools.text(await files.read(path))) as unknown;
    } catch {
      faults.add("not-json", path, "It is no JSON that can be read.");
      return null;
    }
  };
  const coco = new Map<Split, CocoFile>();
  const seen = noIds();
  for (const split of SPLITS) {
    const path = annotationsPath(split);
    if (!there.has(path)) {
      faults.add("file-missing", path, "A set has one file of marks for each part, empty ones too.");
      continue;
    }
    const content = await json(path);
    const said = content === null ? [] : tools.schema("coco", content);
    said.forEach((sentence) => faults.add("coco-form", path, sentence));
    if (content === null || said.length > 0) continue;
    coco.set(split, content as CocoFile);
    checkCoco(path, content as CocoFile, seen, faults);
  }
  const tables = await readTables(files, tools, faults);
  checkTables(tables, coco, faults);
  checkPictures(tables.photos, facts, faults);
  if (there.has(PATHS.crops) || files.paths.some((path) => path.startsWith(cropPath(""))))
    checkCrops(await readTable(PATHS.crops, CROP_COLUMNS, files, tools, faults), tables, facts, faults);
  const description = await json(PATHS.croissant);
  if (description !== null) {
    tools.schema("croissant", description).forEach((says) => faults.add("croissant-form", PATHS.croissant, says));
    checkCroissant(description, hashes, faults);
    if (faults.list.every((fault) => fault.code !== "remote-context"))
      (await tools.shapes(description)).forEach((says) => faults.add("croissant-shape", PATHS.croissant, says));
  }
  if (there.has(PATHS.records)) checkRecords(await json(PATHS.records), hashes, faults);
  return faults;
}

async function readFiles(files: SetFiles, tools: CheckTools, faults: Faults): Promise<ReadonlyMap<string, FileFacts>> {
  const listed = readManifest(tools.text(await files.read(PATHS.manifest)), PATHS.manifest, faults);
  const found = new Map<string, FileFacts>();
  let done = 0;
  for (const path of files.paths) {
    try {
      found.set(path, tools.known?.(path) ?? (await factsOf(path, files, tools)));
    } catch (error) {
      faults.add("wrong-hash", path, error instanceof Error ? error.message : "It cannot be read.");
    }
    if (path !== PATHS.croissant && path !== PATHS.manifest && !listed.has(path))
      faults.add("file-unlisted", path, "It is not in the manifest.");
    tools.onProgress?.(++done, files.paths.length);
  }
  const there = new Set(files.paths);
  for (const [path, hash] of listed)
    if (!there.has(path)) faults.add("file-missing", path, "The manifest lists it, and it is not there.");
    else if (found.has(path) && found.get(path)!.sha256 !== hash)
      faults.add("wrong-hash", path, "It is not what was written: its hash differs from the manifest.");
  return found;
}

async function factsOf(path: string, files: SetFiles, tools: CheckTools): Promise<FileFacts> {
  const bytes = await files.read(path);
  const sha256 = await tools.sha256(bytes);
  const facts: FileFacts = [picturePath(""), cropPath("")].some((folder) => path.startsWith(folder))
    ? { sha256, picture: await tools.picture(bytes), saysPosition: saysPosition(bytes) === true }
    : { sha256 };
  await tools.onFile?.(path, facts);
  return facts;
}

async function readTables(files: SetFiles, tools: CheckTools, faults: Faults): Promise<Tables> {
  const of = (path: string, columns: readonly string[]) => readTable(path, columns, files, tools, faults);
  return {
    cases: await of(PATHS.cases, CASE_COLUMNS),
    photos: await of(PATHS.photos, PHOTO_COLUMNS),
    reviews: await of(PATHS.reviews, REVIEW_COLUMNS),
    marks: await of(PATHS.marks, MARK_COLUMNS),
  };
}

async function readTable(
  path: string,
  columns: readonly string[],
  files: SetFiles,
  tools: CheckTools,
  faults: Faults,
): Promise<readonly Row[]> {
  if (!files.paths.includes(path)) {
    faults.add("file-missing", path, "The table is not there.");
    return [];
  }
  try {
    return rowsOf(readCsv(tools.text(await files.read(path))), columns, path, faults);
  } catch (error) {
    faults.add("not-a-table", path, error instanceof RangeError ? error.message : "It cannot be read.");
    return [];
  }
}

function checkPictures(photos: readonly Row[], found: ReadonlyMap<string, FileFacts>, faults: Faults): void {
  for (const row of photos) {
    const path = picturePath(row["file_name"] ?? "");
    const file = found.get(path);
    if (file === undefined) {
      faults.add("picture-missing", path, "tables/photos.csv names it, and it is not there.");
      continue;
    }
    if (file.sha256 !== row["sha256"])
      faults.add("wrong-hash", path, "It has another hash than tables/photos.csv states.");
    const { picture } = file;
    if (picture === null || picture === undefined) {
      faults.add("picture-unreadable", path, "It is no picture that can be read.");
      continue;
    }
    if (picture.orientation !== 1)
      faults.add(
        "picture-turned",
        path,
        `It asks to be turned (orientation ${picture.orientation}); programs differ in whether they do.`,
      );
    if (String(picture.widthPx) !== row["width"] || String(picture.heightPx) !== row["height"])
      faults.add(
        "picture-size",
        path,
        `It has ${picture.widthPx} × ${picture.heightPx} px; the set says ${row["width"]} × ${row["height"]}.`,
      );
    if (file.saysPosition === true) faults.add("picture-position", path, "It says where it was taken.");
  }
}

/** The list that another bench takes the breaks over by. */
function checkRecords(index: unknown, hashes: ReadonlyMap<string, string>, faults: Faults): void {
  const list = index as {
    readonly format?: unknown;
    readonly breaks?: unknown;
    readonly originals?: unknown;
  } | null;
  if (list?.format !== RECORDS_FORMAT || !Array.isArray(list.breaks) || !Array.isArray(list.originals)) {
    faults.add("records", PATHS.records, "It is no list of records.");
    return;
  }
  for (const { path } of list.breaks as readonly { readonly path: string }[])
    if (!hashes.has(path)) faults.add("records", PATHS.records, `It names ${path}, which is not there.`);
  for (const { path, hash } of list.originals as readonly { readonly path: string; readonly hash: string }[])
    if (hashes.get(path) !== hash)
      faults.add("records", PATHS.records, `${path} is not the original it is said to be.`);
}
