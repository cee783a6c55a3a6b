import "../../break/jitless.ts";
import * as z from "zod";
import type { Geometry, Point } from "../../break/geometry.ts";
import { isFeatureId, type FeatureId } from "../../evidence/features.ts";

/** A mark that came with a picture, not yet on any photograph. */
export interface ImportedMark {
  readonly feature: FeatureId;
  readonly geometry: Geometry;
  /** Where it came from, for the note of the mark. */
  readonly note: string;
}

export interface ImportedPicture {
  readonly fileName: string;
  /** Size the marks were drawn on, px. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly marks: readonly ImportedMark[];
  /** What else the file says of the picture in one word or two, such as `case_id`, `end`, `view`, `location`. */
  readonly says: Readonly<Record<string, string>>;
}

export interface ImportFault {
  readonly where: string;
  readonly says: string;
}

/** A category of the file: how often it is drawn, and the feature it stands for by its name. */
export interface CocoCategoryUse {
  readonly name: string;
  readonly marks: number;
  readonly feature: FeatureId | null;
}

export interface CocoImport {
  /** What the file says of itself; empty = nothing. */
  readonly about: {
    readonly name: string;
    readonly version: string;
    readonly creator: string;
    readonly licence: string;
  };
  /** Those that are drawn at least once. */
  readonly categories: readonly CocoCategoryUse[];
  readonly pictures: readonly ImportedPicture[];
  /** Categories that stand for no feature here, with the number of their marks: say what they mean, and import again. */
  readonly unknown: readonly { readonly name: string; readonly marks: number }[];
  readonly faults: readonly ImportFault[];
}

const number = z.number().min(-1e6).max(1e6);
const outline = z.array(number).min(6).max(40_000);
const words = z.coerce.string().max(500).catch("");
const NO_INFO = { description: "", version: "", contributor: "" };
const cocoSchema = z.object({
  info: z.looseObject({ description: words, version: words, contributor: words }).catch(NO_INFO),
  licenses: z.array(z.looseObject({ name: words, url: words })).catch([]),
  images: z.array(
    z.looseObject({
      id: z.int(),
      file_name: z.string().min(1).max(500),
      width: z.int().min(1).max(200_000),
      height: z.int().min(1).max(200_000),
    }),
  ),
  annotations: z.array(
    z.object({
      id: z.union([z.int(), z.string()]),
      image_id: z.int(),
      category_id: z.int(),
      segmentation: z.unknown().optional(),
      bbox: z.array(number).length(4).optional(),
      keypoints: z.array(number).max(3000).optional(),
    }),
  ),
  categories: z.array(z.object({ id: z.int(), name: z.string().max(200), keypoints: z.array(z.string()).optional() })),
});
type Annotation = z.infer<typeof cocoSchema>["annotations"][number];

/** The file is no COCO file; `message` names the field. */
export class NoCoco extends Error {}

/**
 * Marks of a COCO file as marks of features.
 *
 * Polygons keep their corners, several of them become several marks; a box without an outline becomes a polygon; lines,
 * angles and edges that this program wrote come back as such from their points. Run-length masks are named and left.
 *
 * @param meaning – feature for each category name; a category whose name is a feature needs none.
 * @throws NoCoco when the file is none.
 */
export function readCocoMarks(content: unknown, meaning: Readonly<Record<string, FeatureId>> = {}): CocoImport {
  const parsed = cocoSchema.safeParse(content);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    throw new NoCoco(`This is no COCO file: ${issue?.path.join(".") || "the whole"}: ${issue?.message ?? "not right"}`);
  }
  const { images, annotations, categories, info, licenses } = parsed.data;
  const drawn = new Map<string, number>();
  const names = new Map(categories.map((category) => [category.id, category]));
  const marks = new Map(images.map((image) => [image.id, [] as ImportedMark[]]));
  const unknown = new Map<string, number>();
  const faults: ImportFault[] = [];
  for (const annotation of annotations) {
    const where = `mark ${annotation.id}`;
    const category = names.get(annotation.category_id);
    const onto = marks.get(annotation.image_id);
    if (onto === undefined) faults.push({ where, says: `There is no image ${annotation.image_id}.` });
    else if (category === undefined) faults.push({ where, says: `There is no category ${annotation.category_id}.` });
    else {
      drawn.set(category.name, (drawn.get(category.name) ?? 0) + 1);
      const given = Object.hasOwn(meaning, category.name) ? meaning[category.name] : undefined;
      const feature = given ?? (isFeatureId(category.name) ? category.name : undefined);
      if (feature === undefined) {
        unknown.set(category.name, (unknown.get(category.name) ?? 0) + 1);
        continue;
      }
      const shapes = geometriesOf(annotation, category.keypoints ?? []);
      if (typeof shapes === "string") faults.push({ where, says: shapes });
      else
        for (const geometry of shapes)
          onto.push({ feature, geometry, note: `from COCO: ${category.name}, ${String(annotation.id)}` });
    }
  }
  return {
    pictures: images.map((image) => ({
      fileName: image.file_name,
      widthPx: image.width,
      heightPx: image.height,
      marks: marks.get(image.id) ?? [],
      says: saidOf(image),
    })),
    about: {
      name: info.description,
      version: info.version,
      creator: info.contributor,
      licence: licenses[0]?.url || (licenses[0]?.name ?? ""),
    },
    categories: [...drawn].map(([name, n]) => ({ name, marks: n, feature: isFeatureId(name) ? name : null })),
    unknown: [...unknown].map(([name, n]) => ({ name, marks: n })),
    faults,
  };
}

const OF_EVERY_IMAGE = new Set([
  "id",
  "file_name",
  "width",
  "height",
  "license",
  "coco_url",
  "flickr_url",
  "date_captured",
]);

function saidOf(image: Readonly<Record<string, unknown>>): Readonly<Record<string, string>> {
  const said = Object.entries(image).filter(
    ([key, value]) => !OF_EVERY_IMAGE.has(key) && typeof value === "string" && value !== "" && value.length <= 200,
  );
  return Object.fromEntries(said) as Readonly<Record<string, string>>;
}

/** Geometries of an annotation, or why there are none. */
function geometriesOf(
  { segmentation, bbox, keypoints }: Annotation,
  names: readonly string[],
): readonly Geometry[] | string {
  const points = fixedPoints(keypoints, names);
  if (points !== null) return [points];
  if (Array.isArray(segmentation) && segmentation.length > 0) {
    const outlines: Geometry[] = [];
    for (const one of segmentation as unknown[]) {
      const read = outline.safeParse(one);
      if (!read.success || read.data.length % 2 === 1)
        return "One of its outlines is no list of at least three corners.";
      outlines.push({ type: "polygon", points: pairs(read.data) });
    }
    return outlines;
  }
  if (typeof segmentation === "object" && segmentation !== null && !Array.isArray(segmentation))
    return "It is a run-length mask; only outlines are taken over. Convert it to polygons first.";
  if (bbox === undefined) return "It has neither an outline nor a box.";
  const [x, y, w, h] = bbox as [number, number, number, number];
  if (!(w > 0 && h > 0)) return "Its box has no area.";
  return [
    {
      type: "polygon",
      points: [
        [x, y],
        [x + w, y],
        [x + w, y + h],
        [x, y + h],
      ],
    },
  ];
}

const pairs = (list: readonly number[]): readonly Point[] =>
  Array.from({ length: list.length / 2 }, (_, i): Point => [list[2 * i]!, list[2 * i + 1]!]);

const SHAPES: Readonly<Record<string, Geometry["type"]>> = {
  p: "point",
  "a b": "line",
  "arm1 vertex arm2": "angle",
  "a1 a2 b1 b2": "edges",
};

/** The shape that its named points define, when all of them are there; null = the outline is the shape. */
function fixedPoints(keypoints: readonly number[] | undefined, names: readonly string[]): Geometry | null {
  const type = SHAPES[names.join(" ")];
  if (type === undefined || keypoints?.length !== 3 * names.length) return null;
  const seen = names.map((_, i) => keypoints[3 * i + 2]! > 0);
  if (seen.includes(false)) return null;
  return { type, points: names.map((_, i): Point => [keypoints[3 * i]!, keypoints[3 * i + 1]!]) } as Geometry;
}

/**
 * What keeps marks from lying in place on a photograph at hand: they were drawn on a picture of another size, such as
 * one that was not turned or was made smaller. null = nothing.
 */
export function sizeFault(
  picture: ImportedPicture,
  photograph: { readonly widthPx: number; readonly heightPx: number },
): string | null {
  if (picture.widthPx === photograph.widthPx && picture.heightPx === photograph.heightPx) return null;
  const turned = picture.widthPx === photograph.heightPx && picture.heightPx === photograph.widthPx;
  const sizes = `${picture.widthPx} × ${picture.heightPx} px, and the photograph has ${photograph.widthPx} × ${photograph.heightPx}`;
  return turned
    ? `${picture.fileName}: the marks were drawn on the picture lying on its side (${sizes}). Export them on upright pictures.`
    : `${picture.fileName}: the marks were drawn on ${sizes}. Bring in the picture they were drawn on.`;
}
