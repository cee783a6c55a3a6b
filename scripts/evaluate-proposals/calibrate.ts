import type { FeatureId } from "../../model/evidence/features.ts";
import type { Geometry } from "../../model/break/geometry.ts";
import { findEndOn } from "../../model/picture/propose/end-on.ts";
import { enlarge } from "../../model/picture/propose/enlarge.ts";
import { readPicture } from "../propose/read-picture.ts";
import { MEASURED_BY, SEARCHED_PX, valueOf } from "./judge.ts";
import type { TruePicture } from "./truth.ts";

interface Tried {
  readonly worth: number;
  readonly right: boolean;
}

/**
 * How often what the end-on finder found was right, by how sure it was: the rows that its table of confidences is made
 * from. Finds on pictures whose truth is silent are left out.
 */
export async function printWorths(pictures: readonly TruePicture[]): Promise<void> {
  const tried = new Map<FeatureId, Tried[]>();
  for (const picture of pictures.filter((p) => p.view === "end_on")) {
    const { raster, widthPx } = await readPicture(picture.path, SEARCHED_PX);
    const found = findEndOn(raster);
    if (found === null) continue;
    const by = (found.by * widthPx) / raster.widthPx;
    const real = (feature: FeatureId): Geometry | undefined =>
      picture.shapes.find((s) => s.feature === feature)?.geometry;
    const size = picture.diameterPx;
    const put = (feature: FeatureId, geometry: Geometry, worth: number): void => {
      const truth = real(feature);
      if (truth === undefined && !picture.absent.has(feature)) return;
      const value = truth === undefined ? null : valueOf(feature, enlarge(geometry, by), truth, size, () => null);
      const right = value !== null && (MEASURED_BY[feature]?.right(value) ?? false);
      tried.set(feature, [...(tried.get(feature) ?? []), { worth, right }]);
    };
    put("wire_outline", found.outline.ellipse, found.outline.worth);
    if (found.hole) put("end_hole", { type: "polygon", points: found.hole.polygon }, found.hole.worth);
    if (found.lip) put("shear_lip", { type: "polyline", points: found.lip.line }, found.lip.worth);
  }
  for (const [feature, all] of tried) {
    console.log(`\n${feature}: worth, found, right`);
    for (let tenth = 0; tenth < 10; tenth++) {
      const from = tenth / 10;
      const row = all.filter((t) => t.worth >= from && (t.worth < (tenth + 1) / 10 || tenth === 9));
      if (row.length > 0)
        console.log(`  from ${from.toFixed(1)}: ${row.length} found, ${row.filter((t) => t.right).length} right`);
    }
  }
}
