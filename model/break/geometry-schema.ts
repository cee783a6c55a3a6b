import "./jitless.ts";
import * as z from "zod";
import type { Geometry } from "./geometry.ts";

/** Beyond any photograph of 50 megapixels, also for shapes that reach past its edge. */
const MAX_PX = 1e6;
export const MAX_POINTS = 20_000;

const px = z.number().min(-MAX_PX).max(MAX_PX);
const length = z.number().min(0).max(MAX_PX);
const point = z.tuple([px, px]);

/** Geometry of a mark: every number finite, every list bounded. */
export const geometrySchema: z.ZodType<Geometry> = z
  .discriminatedUnion("type", [
    z.strictObject({ type: z.literal("point"), points: z.tuple([point]) }),
    z.strictObject({ type: z.literal("line"), points: z.tuple([point, point]) }),
    z.strictObject({ type: z.literal("polyline"), points: z.array(point).min(2).max(MAX_POINTS) }),
    z.strictObject({ type: z.literal("polygon"), points: z.array(point).min(3).max(MAX_POINTS) }),
    z.strictObject({
      type: z.literal("ellipse"),
      cx: px,
      cy: px,
      rx: length,
      ry: length,
      angle_deg: z.number().min(-720).max(720),
    }),
    z.strictObject({ type: z.literal("angle"), points: z.tuple([point, point, point]) }),
    z.strictObject({ type: z.literal("edges"), points: z.tuple([point, point, point, point]) }),
  ])
  .meta({
    id: "geometry",
    description: "Pixels of the upright picture: x right, y down, (0, 0) the outer corner of the first pixel.",
  });
