import type { MarkCase } from "./mark-case.ts";
import {
  alongWire,
  angleToAxis,
  distanceFromAxis,
  inDiameters,
  inRadii,
  needAngle,
  needAxis,
  pointList,
  pointsOf,
  withD,
} from "./mark-case.ts";
import { between, component, componentAcross, direction, distance, magnitude, middle, rayAngle } from "./plane.ts";
import type { PlacedPoint } from "./plane.ts";
import { mean, scaled } from "./uncertain.ts";

/** Distance of the cone tip from the axis, and where it points. */
export function measureConeApex(c: MarkCase): void {
  const how =
    c.kind === "E" ? "Distance of the tip from the centre of the outline" : "Distance of the tip from the centre line";
  c.sheet.number("apex_offset_ratio", `${how}, over R${withD(c)}.`, () => {
    const [tip] = pointsOf(c, pointList(c.geometry));
    return inRadii(c, distanceFromAxis(c, tip ?? needAngle(c)[1]));
  });
}

type Angle = readonly [PlacedPoint, PlacedPoint, PlacedPoint];

/** Width of an angle's mouth: across the wire where the axis is known, else straight from arm end to arm end. */
const mouth = (c: MarkCase, [a, , b]: Angle) =>
  c.frame.axisDeg === null ? distance(a, b) : magnitude(componentAcross(between(a, b), needAxis(c)));

/** Height of an angle: along the wire where the axis is known, else from the tip to the middle of the mouth. */
const height = (c: MarkCase, [a, vertex, b]: Angle) =>
  c.frame.axisDeg === null ? distance(vertex, middle(a, b)) : alongWire(c, vertex, middle(a, b));

/** Flank and included angle of a cone, its base and height. */
export function measureConeFlank(c: MarkCase): void {
  const { sheet } = c;
  const included = () => {
    const [a, vertex, b] = needAngle(c);
    return rayAngle(direction(vertex, a), direction(vertex, b));
  };
  sheet.number("included_angle_deg", "Angle between the two arms.", included);
  if (c.frame.axisDeg === null)
    sheet.number("flank_angle_deg", "Half the included angle: the wire axis is not marked.", () =>
      scaled(included(), 0.5),
    );
  else
    sheet.number("flank_angle_deg", "Mean of the angles of both arms to the wire axis.", () => {
      const [a, vertex, b] = needAngle(c);
      return mean([a, b].map((arm) => angleToAxis(c, direction(vertex, arm))));
    });
  sheet.number("cone_base_over_D", `Width between the arm ends${withD(c)}.`, () =>
    inDiameters(c, mouth(c, needAngle(c))),
  );
  sheet.number("cone_height_d", `From the tip to the level of the arm ends${withD(c)}.`, () =>
    inDiameters(c, height(c, needAngle(c))),
  );
}

/** Chevrons of a section: angle, width, number, pitch and where the tips point. */
export function measureChevron(c: MarkCase): void {
  const { sheet, group } = c;
  sheet.number("included_angle_deg", "Angle between the two arms.", () => {
    const [a, vertex, b] = needAngle(c);
    return rayAngle(direction(vertex, a), direction(vertex, b));
  });
  sheet.number("width_over_D", `Width between the arm ends${withD(c)}.`, () => inDiameters(c, mouth(c, needAngle(c))));
  sheet.number("count", "Chevrons marked on this photograph.", () => ({ value: group.length, shares: new Map() }));
  const tips = group.flatMap((m) => {
    const [, vertex] = pointsOf(c, m.geometry === null ? [] : pointList(m.geometry), m);
    return vertex === undefined ? [] : [vertex];
  });
  if (tips.length > 1)
    sheet.number("pitch_d", `Mean spacing of the tips along the wire${withD(c)}.`, () => {
      const axis = needAxis(c);
      const ordered = [...tips].sort(
        (p, q) => component(between(tipOrigin, p), axis).value - component(between(tipOrigin, q), axis).value,
      );
      const [first, last] = [ordered[0], ordered.at(-1)];
      return inDiameters(c, scaled(alongWire(c, first ?? tipOrigin, last ?? tipOrigin), 1 / (tips.length - 1)));
    });
  sheet.word("tips", "From the direction of the tips along the wire and the roles of the ends.", tipDirection(c));
}

const tipOrigin: PlacedPoint = { x: { value: 0, shares: new Map() }, y: { value: 0, shares: new Map() } };

/** Needs the direction from the wire toward the break, and roles: on the machine end that direction leads to the spool. */
function tipDirection(c: MarkCase): string | null {
  const { towardBreakDeg } = c.frame;
  if (towardBreakDeg === null || !c.on.wireBreak.rolesKnown) return null;
  const rad = (towardBreakDeg * Math.PI) / 180;
  const toward = new Set<boolean>();
  for (const mark of c.group) {
    const [a, vertex, b] = mark.geometry?.type === "angle" ? mark.geometry.points : [];
    if (!a || !vertex || !b) continue;
    const out = (vertex[0] - (a[0] + b[0]) / 2) * Math.cos(rad) + (vertex[1] - (a[1] + b[1]) / 2) * Math.sin(rad);
    if (out !== 0) toward.add(out > 0);
  }
  if (toward.size === 0) return null;
  if (toward.size === 2) return "both";
  return toward.has(true) === (c.on.side === "machine") ? "all_toward_spool" : "all_toward_machine";
}
