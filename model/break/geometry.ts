/**
 * Geometry of a mark, in pixels of the upright photograph (camera orientation applied):
 * x to the right, y down, (0, 0) the outer corner of the first pixel.
 * The shape is the one of the observation sheet, so sheets and bench records need no translation.
 */
export type Point = readonly [x: number, y: number];

export type Geometry =
  | { readonly type: "point"; readonly points: readonly [Point] }
  | { readonly type: "line"; readonly points: readonly [Point, Point] }
  | { readonly type: "polyline"; readonly points: readonly Point[] }
  | { readonly type: "polygon"; readonly points: readonly Point[] }
  | {
      readonly type: "ellipse";
      readonly cx: number;
      readonly cy: number;
      readonly rx: number;
      readonly ry: number;
      /** Angle of the rx axis, from +x toward +y, degrees. */
      readonly angle_deg: number;
    }
  /** Two arms meeting at a vertex: [arm, vertex, arm]. */
  | { readonly type: "angle"; readonly points: readonly [Point, Point, Point] }
  /** Two edges of the wire in a side view: [a1, a2, b1, b2], each pair one straight edge. */
  | { readonly type: "edges"; readonly points: readonly [Point, Point, Point, Point] };

export type GeometryType = Geometry["type"];
