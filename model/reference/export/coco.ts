import type { EndSide, Mark, Photograph, WireBreak } from "../../break/wire-break.ts";
import { END_SIDES } from "../../break/wire-break.ts";
import { FEATURES, type FeatureId, type FeatureSpec } from "../../evidence/features.ts";
import type { Licence } from "./licences.ts";
import { areaOf, boxOf, markShape } from "./mark-shape.ts";
import { scaleOf } from "./scale-of.ts";
import type { SetOptions } from "./set-options.ts";

/** Machine end A, take-up end B. */
export const END_LETTER: Readonly<Record<EndSide, "A" | "B">> = { machine: "A", takeUp: "B" };

export interface CocoCategory {
  readonly id: number;
  readonly name: string;
  readonly supercategory: string;
  readonly keypoints?: readonly string[];
  readonly skeleton?: readonly (readonly [number, number])[];
}

export interface CocoImage {
  readonly id: number;
  readonly file_name: string;
  readonly width: number;
  readonly height: number;
  readonly license: 1;
  /** RFC 3339; left out where the camera gave no offset from UTC. */
  readonly date_captured?: string;
  readonly case_id: string;
  readonly end: "A" | "B";
  readonly view: string;
  readonly um_per_px: number | null;
  readonly um_per_px_u: number | null;
  readonly scale_method: "none" | "nominal_diameter" | "scale_bar" | "reticle" | "metadata";
}

export interface CocoAnnotation {
  readonly id: number;
  readonly image_id: number;
  readonly category_id: number;
  readonly iscrowd: 0;
  readonly segmentation: readonly (readonly number[])[];
  readonly area: number;
  readonly bbox: readonly [number, number, number, number];
  readonly keypoints?: readonly number[];
  readonly num_keypoints?: number;
  readonly mark_id: string;
}

export interface CocoFile {
  readonly info: Readonly<Record<string, string | number>>;
  readonly licenses: readonly { readonly id: 1; readonly name: string; readonly url: string }[];
  readonly categories: readonly CocoCategory[];
  readonly images: readonly CocoImage[];
  readonly annotations: readonly CocoAnnotation[];
}

const POINT_NAMES: Readonly<Record<string, readonly string[]>> = {
  point: ["p"],
  line: ["a", "b"],
  angle: ["arm1", "vertex", "arm2"],
  edges: ["a1", "a2", "b1", "b2"],
};
const SKELETONS: readonly (readonly (readonly [number, number])[])[] = [
  [],
  [],
  [[1, 2]],
  [
    [1, 2],
    [2, 3],
  ],
  [
    [1, 2],
    [3, 4],
  ],
];

/** The number in the feature's code: F05 is category 5 in every version, for ever. */
export const categoryId = (feature: FeatureId): number =>
  Number(FEATURES.find((row) => row.id === feature)!.code.slice(1));

/** One category per feature; those drawn with a fixed number of points name them. */
export const COCO_CATEGORIES: readonly CocoCategory[] = (FEATURES as readonly FeatureSpec[]).map((row) => {
  const kinds = Object.values(row.geometry).flat();
  const names = kinds.reduce<readonly string[]>((most, kind) => {
    const of = POINT_NAMES[kind] ?? [];
    return of.length > most.length ? of : most;
  }, []);
  const base = { id: Number(row.code.slice(1)), name: row.id, supercategory: "mark" };
  return names.length === 0 ? base : { ...base, keypoints: names, skeleton: SKELETONS[names.length]! };
});
const byId = new Map(COCO_CATEGORIES.map((category) => [category.id, category]));

/** One image entry; `id` and `fileName` as the set gives them. */
export function cocoImage(
  photograph: Photograph,
  side: EndSide,
  of: { readonly id: number; readonly fileName: string; readonly caseId: string },
): CocoImage {
  const scale = scaleOf(photograph);
  return {
    id: of.id,
    file_name: of.fileName,
    width: photograph.widthPx,
    height: photograph.heightPx,
    license: 1,
    ...(isMoment(photograph.capturedAt) ? { date_captured: photograph.capturedAt } : {}),
    case_id: of.caseId,
    end: END_LETTER[side],
    view: photograph.view,
    um_per_px: scale === null ? null : scale.umPerPx,
    um_per_px_u: scale === null ? null : scale.u,
    scale_method: scale === null ? "none" : methodOf(photograph),
  };
}

const isMoment = (text: string | null): text is string =>
  text !== null && /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d+)?(Z|[+-]\d{2}:\d{2})$/.test(text);

function methodOf({ scale }: Photograph): CocoImage["scale_method"] {
  switch (scale?.method) {
    case undefined:
      return "none";
    case "wire-diameter":
      return "nominal_diameter";
    case "drawn-length":
      return scale.over === "scale-bar" ? "scale_bar" : "reticle";
    case "profile":
      return "reticle";
    case "stated":
      return "metadata";
  }
}

/** The annotation of a drawn mark; null when none of it lies in the picture or it is not drawn. */
export function cocoAnnotation(
  mark: Mark,
  image: Pick<CocoImage, "id" | "width" | "height">,
  id: number,
): CocoAnnotation | null {
  if (mark.geometry === null || mark.state !== "present") return null;
  const { outlines, points } = markShape(mark.geometry, image.width, image.height);
  if (outlines.length === 0) return null;
  const category = byId.get(categoryId(mark.feature))!;
  const bbox = boxOf(outlines);
  if (bbox[2] <= 0 || bbox[3] <= 0) return null;
  const named = points !== null && points.length === category.keypoints?.length ? points : null;
  const inside = (x: number, y: number) => x >= 0 && y >= 0 && x <= image.width && y <= image.height;
  const keypoints = named?.flatMap(([x, y]) => (inside(x, y) ? [x, y, 2] : [0, 0, 0]));
  return {
    id,
    image_id: image.id,
    category_id: category.id,
    iscrowd: 0,
    segmentation: outlines.map((outline) => outline.flat()),
    area: Math.round(100 * outlines.reduce((sum, outline) => sum + areaOf(outline), 0)) / 100,
    bbox,
    ...(keypoints ? { keypoints, num_keypoints: keypoints.filter((v, i) => i % 3 === 2 && v > 0).length } : {}),
    mark_id: mark.id,
  };
}

export function cocoFile(
  options: SetOptions,
  licence: Licence,
  images: readonly CocoImage[],
  annotations: readonly CocoAnnotation[],
): CocoFile {
  return {
    info: {
      description: options.description,
      version: options.version,
      year: Number(options.date.slice(0, 4)),
      contributor: options.creator,
      url: options.url,
      date_created: options.date,
    },
    licenses: [{ id: 1, name: licence.name, url: licence.url }],
    categories: COCO_CATEGORIES,
    images,
    annotations,
  };
}

/** Photographs of a break in the order of the set: machine end first. */
export const photographsOf = ({
  ends,
}: WireBreak): readonly { readonly side: EndSide; readonly photograph: Photograph }[] =>
  END_SIDES.flatMap((side) => ends[side].photographs.map((photograph) => ({ side, photograph })));
