import { join } from "node:path";
import { z } from "zod";
import type { Geometry, Point } from "../../model/break/geometry.ts";
import type { FeatureId } from "../../model/evidence/features.ts";
import type { TruePicture, TrueShape } from "./truth.ts";

const point = z.tuple([z.number(), z.number()]);
const ellipse = z.object({
  type: z.literal("ellipse"),
  cx: z.number(),
  cy: z.number(),
  rx: z.number(),
  ry: z.number(),
  angle_deg: z.number(),
});
const edges = z.object({ type: z.literal("edges"), points: z.tuple([point, point, point, point]) });
const line = z.object({ type: z.literal("line"), points: z.tuple([point, point]) });
const angle = z.object({ type: z.literal("angle"), points: z.tuple([point, point, point]) });

const pictureShape = z.object({
  file: z.string(),
  view: z.enum(["end_on", "side_0", "side_90", "section_long"]),
  pxPerMm: z.number(),
  wireDiameterPx: z.number(),
  outline: ellipse.nullable(),
  edges: edges.nullable(),
  neck: z.object({ line }).nullable(),
  hole: z.object({ polygon: z.array(point) }).nullable(),
  cone: z.object({ apex: point, base: z.tuple([point, point]).nullable() }).nullable(),
  plane: z.object({ mark: angle }).nullable(),
  lipInner: z.array(point).nullable(),
  silhouette: z.array(point).nullish(),
});
const fileShape = z.object({ pictures: z.array(pictureShape) });

/** @returns the pictures of a truth.json, which says more than a sheet: what is null on a picture is not there. */
export function corpusPictures(json: unknown, folder: string): TruePicture[] {
  return fileShape.parse(json).pictures.flatMap((p): TruePicture[] => {
    if (p.view === "section_long") return [];
    const shapes: TrueShape[] = [];
    const absent = new Set<FeatureId>();
    const put = (feature: FeatureId, geometry: Geometry | null): void => {
      if (geometry === null) absent.add(feature);
      else shapes.push({ feature, geometry });
    };
    const closed = (points: readonly Point[] | null): Geometry | null =>
      points === null ? null : { type: "polygon", points };
    if (p.view === "end_on") {
      // A band or bead that hides the sound wire leaves its outline open, neither there nor absent.
      if (p.outline !== null) put("wire_outline", p.outline);
      put("end_hole", closed(p.hole?.polygon ?? null));
      put("shear_lip", closed(p.lipInner));
    } else {
      if (p.edges !== null) put("wire_outline", p.edges);
      if (p.neck !== null) put("neck", p.neck.line);
      put("cone_apex", p.cone === null ? null : { type: "point", points: [p.cone.apex] });
      const base = p.cone?.base ?? null;
      put(
        "cone_flank",
        p.cone === null || base === null ? null : { type: "angle", points: [base[0], p.cone.apex, base[1]] },
      );
      if (p.plane !== null) put("fracture_plane", p.plane.mark);
    }
    return [
      {
        path: join(folder, p.file),
        file: p.file,
        view: p.view,
        pxPerMm: p.pxPerMm,
        diameterPx: p.wireDiameterPx,
        silhouette: p.view === "end_on" ? null : (p.silhouette ?? null),
        shapes,
        absent,
      },
    ];
  });
}
