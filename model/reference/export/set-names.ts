import type { EndSide, Photograph } from "../../break/wire-break.ts";
import { END_LETTER } from "./coco.ts";

/** Where things lie in a set. */
export const PATHS = {
  readme: "README.md",
  croissant: "croissant.json",
  manifest: "manifest-sha256.txt",
  cases: "tables/cases.csv",
  photos: "tables/photos.csv",
  reviews: "tables/reviews.csv",
  marks: "tables/marks.csv",
  /** Only in sets with crops. */
  crops: "tables/crops.csv",
  records: "records/index.json",
} as const;
export const annotationsPath = (split: string): string => `annotations/instances_${split}.json`;
export const picturePath = (fileName: string): string => `images/${fileName}`;
export const cropPath = (fileName: string): string => `crops/${fileName}`;
export const recordPath = (caseId: string): string => `records/breaks/${caseId}.json`;
export const originalPath = (hash: string, extension: string): string => `records/originals/${hash}.${extension}`;

/** The identifier of a break as a name: letters, digits, - and _; anything else as ~ and four digits. */
export const caseIdOf = (breakId: string): string =>
  breakId.replace(/[^A-Za-z0-9_-]/g, (sign) => `~${sign.charCodeAt(0).toString(16).padStart(4, "0")}`);

const EXTENSIONS: Readonly<Record<string, string>> = {
  "image/jpeg": "jpg",
  "image/png": "png",
  "image/webp": "webp",
  "image/tiff": "tif",
  "image/bmp": "bmp",
};
/** Extension of a picture by its media type. */
export const extensionOf = (mediaType: string): string => EXTENSIONS[mediaType] ?? "png";

/**
 * File name of a photograph in the set: break, end, view, and its place among the photographs of that end.
 * @param mediaType – of the picture as it is written.
 */
export const pictureName = (
  caseId: string,
  side: EndSide,
  { view }: Pick<Photograph, "view">,
  place: number,
  mediaType: string,
): string => `${caseId}-${END_LETTER[side]}-${String(place + 1).padStart(2, "0")}-${view}.${extensionOf(mediaType)}`;

/**
 * Whether a picture must be drawn anew: because the camera's turn must go into the pixels, because it shows a page
 * other than the first, or because everything but the pixels must go and the format hides too much (TIFF).
 */
export const mustRedraw = (
  { orientation, page, mediaType }: Pick<Photograph, "orientation" | "page" | "mediaType">,
  metadata: "position" | "all",
): boolean => orientation !== 1 || (page ?? 0) > 0 || (metadata === "all" && mediaType === "image/tiff");

/** Media type of a picture in the set: JPEG stays JPEG, everything else that is drawn anew becomes PNG. */
export const writtenAs = (photograph: Photograph, metadata: "position" | "all"): string =>
  mustRedraw(photograph, metadata) && photograph.mediaType !== "image/jpeg" ? "image/png" : photograph.mediaType;
