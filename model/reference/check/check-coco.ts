import type { Point } from "../../break/geometry.ts";
import { COCO_CATEGORIES, type CocoFile } from "../export/coco.ts";
import { areaOf, boxOf } from "../export/mark-shape.ts";
import type { Faults } from "./fault.ts";

/** Rounding of coordinates to a hundredth of a pixel. */
const SLACK_PX = 0.011;
/** Share by which an area may differ from that of its corners, and px² for the smallest. */
const AREA_SHARE = 0.005;
const AREA_PX2 = 0.5;

export interface SeenIds {
  readonly images: Set<number>;
  readonly annotations: Set<number>;
  readonly fileNames: Set<string>;
}
export const noIds = (): SeenIds => ({ images: new Set(), annotations: new Set(), fileNames: new Set() });

/**
 * What no schema can say about the marks of one part: identifiers, references, categories that keep their meaning,
 * boxes and areas that agree with the outlines, all inside the picture.
 *
 * @param file – of the right form (the schema was asked before).
 * @param seen – identifiers of the parts before; they must be unique over the whole set.
 */
export function checkCoco(where: string, file: CocoFile, seen: SeenIds, faults: Faults): void {
  const unique = <T>(set: Set<T>, value: T, what: string): void => {
    if (set.has(value)) faults.add("duplicate-id", where, `${what} ${String(value)} is there twice.`);
    set.add(value);
  };
  const licences = new Set(file.licenses.map((l) => l.id as number));
  const categories = new Map(file.categories.map((c) => [c.id, c]));
  for (const { id, name, keypoints } of file.categories) {
    const ours = COCO_CATEGORIES.find((c) => c.id === id);
    if (ours?.name !== name || (ours.keypoints ?? []).join() !== (keypoints ?? []).join())
      faults.add(
        "category-changed",
        `${where}, category ${id}`,
        `It is "${name}"; the list fixed for all versions says otherwise.`,
      );
  }
  const images = new Map(file.images.map((image) => [image.id, image]));
  for (const image of file.images) {
    unique(seen.images, image.id, "Image");
    unique(seen.fileNames, image.file_name, "File name");
    if (!licences.has(image.license))
      faults.add("unknown-licence", `${where}, image ${image.id}`, "It names a licence that the file does not list.");
  }
  for (const annotation of file.annotations) {
    const at = `${where}, mark ${annotation.id}`;
    unique(seen.annotations, annotation.id, "Mark");
    const image = images.get(annotation.image_id);
    const category = categories.get(annotation.category_id);
    if (image === undefined) faults.add("unknown-image", at, `There is no image ${annotation.image_id} in this part.`);
    if (category === undefined) faults.add("unknown-category", at, `There is no category ${annotation.category_id}.`);
    if (image === undefined || category === undefined) continue;
    const outlines = annotation.segmentation.map(cornersOf);
    if (annotation.segmentation.some((list) => list.length % 2 === 1))
      faults.add("coco-form", at, "An outline has a number too many: it is a list of pairs.");
    const outside = (x: number, y: number) =>
      x < -SLACK_PX || y < -SLACK_PX || x > image.width + SLACK_PX || y > image.height + SLACK_PX;
    const [x, y, w, h] = annotation.bbox;
    if (outlines.flat().some(([u, v]) => outside(u, v)) || outside(x, y) || outside(x + w, y + h))
      faults.add("outside-picture", at, `It reaches outside the picture of ${image.width} × ${image.height} px.`);
    const box = boxOf(outlines);
    if (box.some((value, i) => !(Math.abs(value - annotation.bbox[i]!) <= 0.5)))
      faults.add("box-differs", at, `Its box is ${annotation.bbox.join(", ")}; its outline has ${box.join(", ")}.`);
    const area = outlines.reduce((sum, outline) => sum + areaOf(outline), 0);
    if (!(Math.abs(area - annotation.area) <= Math.max(AREA_PX2, AREA_SHARE * area)))
      faults.add("area-differs", at, `Its area is ${annotation.area}; its outline has ${area.toFixed(1)} px².`);
    const { keypoints, num_keypoints: stated } = annotation;
    if (keypoints === undefined) continue;
    if (keypoints.length !== 3 * (category.keypoints?.length ?? 0))
      faults.add(
        "keypoints",
        at,
        `It has ${keypoints.length / 3} points; ${category.name} has ${category.keypoints?.length ?? 0}.`,
      );
    if (keypoints.filter((v, i) => i % 3 === 2 && v > 0).length !== stated)
      faults.add("keypoints", at, "The number of its points is not the one it states.");
    for (let i = 0; i + 2 < keypoints.length; i += 3)
      if (keypoints[i + 2]! > 0 && outside(keypoints[i]!, keypoints[i + 1]!))
        faults.add("outside-picture", at, "One of its points lies outside the picture.");
  }
}

const cornersOf = (list: readonly number[]): readonly Point[] =>
  Array.from({ length: list.length >> 1 }, (_, i): Point => [list[2 * i]!, list[2 * i + 1]!]);
