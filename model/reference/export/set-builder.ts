import type { EndSide, Photograph, SecondReading, WireBreak } from "../../break/wire-break.ts";
import { END_SIDES } from "../../break/wire-break.ts";
import type { SetBreak, Split } from "../member.ts";
import { SPLITS } from "../member.ts";
import type { VersionMember } from "../set-version.ts";
import { type ConfirmationLevel, DEFAULT_LEVELS, levelReached, standingConfirmations } from "../levels.ts";
import { firstLineFor } from "../second/pairs.ts";
import { samePerson } from "../second/reader-name.ts";
import {
  type CocoAnnotation,
  cocoAnnotation,
  cocoFile,
  type CocoFile,
  type CocoImage,
  cocoImage,
  END_LETTER,
} from "./coco.ts";
import { type Cell, csvLine } from "./csv.ts";
import { licenceOf } from "./licences.ts";
import { codeOfPerson } from "./people.ts";
import { caseIdOf, pictureName, writtenAs } from "./set-names.ts";
import type { SetOptions } from "./set-options.ts";

/** A picture the set wants written. */
export interface WantedPicture {
  readonly photograph: Photograph;
  readonly side: EndSide;
  /** Inside the folder of pictures. */
  readonly fileName: string;
}

/** A picture as it lies in the set. */
export interface WrittenPicture {
  readonly sha256: string;
}

export interface SetTables {
  readonly cases: string;
  readonly photos: string;
  readonly reviews: string;
  readonly marks: string;
}

export const CASE_COLUMNS = [
  "case_id",
  "number",
  "material",
  "wire_diameter_um",
  "break_type",
  "split",
  "label_status",
  "level",
  "ends",
  "group_id",
  "rendered",
] as const;
export const PHOTO_COLUMNS = [
  "photo_id",
  "case_id",
  "end",
  "view",
  "file_name",
  "um_per_px",
  "um_per_px_u",
  "scale_method",
  "captured_at",
  "width",
  "height",
  "sha256",
  "original_sha256",
  "rendered",
] as const;
export const REVIEW_COLUMNS = [
  "review_id",
  "case_id",
  "reviewer",
  "role",
  "method",
  "decision",
  "break_type",
  "confidence",
  "decided_at",
  "supersedes",
  "level",
  "reason",
] as const;
export const MARK_COLUMNS = [
  "mark_id",
  "case_id",
  "end",
  "photo_id",
  "feature",
  "state",
  "reader",
  "marked_at",
] as const;

/** Role of a reading made without sight of the first label; it stands beside the label and replaces nothing. */
export const SECOND_READER = "second-reader";
/** Whether a second reading gave the type of the label it was made beside; "unpaired" = there was none by another person. */
export const SECOND_DECISIONS = ["agree", "disagree", "unpaired"] as const;

/** Pictures of one break, in the order of the set. */
export function picturesOf(wireBreak: WireBreak, { metadata }: Pick<SetOptions, "metadata">): readonly WantedPicture[] {
  const caseId = caseIdOf(wireBreak.id);
  return END_SIDES.flatMap((side) =>
    wireBreak.ends[side].photographs.map((photograph, i) => ({
      photograph,
      side,
      fileName: pictureName(caseId, side, photograph, i, writtenAs(photograph, metadata)),
    })),
  );
}

/** What a break is in a version of the set. @param levels – the lab's ladder, lowest first. */
export function versionMember(
  wireBreak: WireBreak,
  { number, type }: SetBreak,
  split: Split,
  levels: readonly ConfirmationLevel[] = DEFAULT_LEVELS,
): VersionMember {
  const standing = standingConfirmations(wireBreak).at(-1);
  const level = standing?.level ?? levelReached(wireBreak, levels).level?.id ?? null;
  return { breakId: caseIdOf(wireBreak.id), number, type, split, level, reason: standing?.reason ?? "" };
}

/**
 * Gathers a set break by break. Only texts and numbers are kept, never pixels, so that ten thousand photographs take
 * no more memory than their lines in the tables.
 */
export class SetBuilder {
  readonly members: VersionMember[] = [];
  private readonly images: Record<Split, CocoImage[]> = { train: [], val: [], test: [] };
  private readonly annotations: Record<Split, CocoAnnotation[]> = { train: [], val: [], test: [] };
  private readonly lines: Record<keyof SetTables, string[]> = {
    cases: [csvLine(CASE_COLUMNS)],
    photos: [csvLine(PHOTO_COLUMNS)],
    reviews: [csvLine(REVIEW_COLUMNS)],
    marks: [csvLine(MARK_COLUMNS)],
  };
  private imageCount = 0;
  private annotationCount = 0;

  constructor(private readonly options: SetOptions) {}

  get photographs(): number {
    return this.imageCount;
  }
  get marks(): number {
    return this.annotationCount;
  }

  /**
   * Adds one break.
   *
   * @param group – what it is kept together with, such as "cast:k7".
   * @param written – the pictures that were written, by identifier of the photograph; one that is not there is left
   * out together with its marks.
   * @returns identifiers in the set by those of the photographs.
   */
  add(
    wireBreak: WireBreak,
    member: SetBreak,
    split: Split,
    group: string,
    written: ReadonlyMap<string, WrittenPicture>,
  ): ReadonlyMap<string, number> {
    const caseId = caseIdOf(wireBreak.id);
    const ends = new Set<string>();
    const photoIds = new Map<string, number>();
    for (const { photograph, side, fileName } of picturesOf(wireBreak, this.options)) {
      const picture = written.get(photograph.id);
      if (picture === undefined) continue;
      const image = cocoImage(photograph, side, { id: ++this.imageCount, fileName, caseId });
      this.images[split].push(image);
      photoIds.set(photograph.id, image.id);
      ends.add(image.end);
      for (const mark of wireBreak.ends[side].marks) {
        if (mark.photographId !== photograph.id) continue;
        const annotation = cocoAnnotation(mark, image, this.annotationCount + 1);
        if (annotation === null) continue;
        this.annotationCount++;
        this.annotations[split].push(annotation);
      }
      this.line("photos", [
        image.id,
        caseId,
        image.end,
        image.view,
        fileName,
        image.um_per_px,
        image.um_per_px_u,
        image.scale_method,
        photograph.capturedAt,
        image.width,
        image.height,
        picture.sha256,
        photograph.hash,
        photograph.rendered,
      ]);
    }
    const version = versionMember(wireBreak, member, split, this.options.levels);
    const micrometres = member.diameterMm === null ? null : Number((1000 * member.diameterMm).toPrecision(6));
    this.line("cases", [
      caseId,
      member.number,
      member.metal,
      micrometres,
      member.type,
      split,
      "confirmed",
      version.level,
      [...ends].sort().join("+"),
      group,
      member.invented,
    ]);
    this.reviews(wireBreak, caseId);
    this.marksOf(wireBreak, caseId, photoIds);
    this.members.push(version);
    return photoIds;
  }

  cocoOf(split: Split): CocoFile {
    return cocoFile(this.options, licenceOf(this.options.licence), this.images[split], this.annotations[split]);
  }

  /** Parts that hold a break. All three are written, empty ones too, so that nobody asks where they are. */
  get splits(): readonly Split[] {
    return SPLITS;
  }

  tables(): SetTables {
    const of = (table: keyof SetTables) => this.lines[table].join("");
    return { cases: of("cases"), photos: of("photos"), reviews: of("reviews"), marks: of("marks") };
  }

  private line(table: keyof SetTables, cells: readonly Cell[]): void {
    this.lines[table].push(csvLine(cells));
  }

  private reviews(wireBreak: WireBreak, caseId: string): void {
    const { confirmations, readings = [] } = wireBreak;
    let before: string | null = null;
    confirmations.forEach((line, i) => {
      const id = `${caseId}-r${i + 1}`;
      const confirmed = line.kind === "confirmed" ? line : null;
      this.line("reviews", [
        id,
        caseId,
        codeOfPerson(line.by, this.options.peopleSeed),
        "reader",
        confirmed?.means.join(" ") ?? "",
        line.kind,
        confirmed?.type ?? "",
        null,
        line.at,
        before,
        confirmed?.level ?? null,
        line.reason,
      ]);
      before = id;
    });
    readings.forEach((reading, i) =>
      this.line("reviews", [
        `${caseId}-s${i + 1}`,
        caseId,
        codeOfPerson(reading.by, this.options.peopleSeed),
        SECOND_READER,
        "",
        decisionOf(wireBreak, reading),
        reading.type,
        null,
        reading.at,
        null,
        null,
        // Without the records a set says no more of a reading than its type.
        this.options.withRecords ? reading.note : "",
      ]),
    );
  }

  private marksOf({ ends }: WireBreak, caseId: string, photoIds: ReadonlyMap<string, number>): void {
    for (const side of END_SIDES)
      for (const mark of ends[side].marks)
        this.line("marks", [
          mark.id,
          caseId,
          END_LETTER[side],
          photoIds.get(mark.photographId ?? "") ?? null,
          mark.feature,
          mark.state,
          codeOfPerson(mark.by, this.options.peopleSeed),
          mark.at,
        ]);
  }
}

function decisionOf(wireBreak: WireBreak, reading: SecondReading): (typeof SECOND_DECISIONS)[number] {
  const first = firstLineFor(wireBreak, reading);
  if (first === null || samePerson(first.by, reading.by)) return "unpaired";
  return first.type === reading.type ? "agree" : "disagree";
}
