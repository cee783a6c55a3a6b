import type { BuiltBreak } from "./render-break.ts";
import { frameShot } from "./render-break.ts";
import type { DemoBreak } from "./demo/demo-break.ts";
import { EndMarker } from "./end-marker.ts";
import type { Side } from "./end-surface.ts";

const SIDES: readonly Side[] = ["machine", "takeUp"];

/**
 * The observation sheet of a demo break: what a careful technician would record, with true geometry.
 *
 * @param scale – that of the pictures the marks are drawn on.
 */
export function observationSheet(demo: DemoBreak, built: BuiltBreak, scale = 1): Record<string, unknown> {
  const { look } = demo;
  const ends = SIDES.map((side) => {
    const role = side === "machine" ? "machine" : "spool";
    if (demo.lost === side) return { role, recovered: false, views: [], photos: [], features: [] };
    const shots = look.shots
      .filter((s) => s.side === side)
      .map((s) => ({ file: s.file, view: s.view, frame: frameShot(look, s, scale) }));
    const marker = new EndMarker(look, side, built.body, built.ends[side].surface, shots);
    return {
      role,
      recovered: true,
      views: shots.map((s) => s.view),
      photos: shots.map((s) => ({
        file: s.file,
        view: s.view,
        px_per_mm: Math.round(((2 * s.frame.perRadius) / look.wireMm) * 1000) / 1000,
      })),
      features: demo.marks(marker),
    };
  });
  return {
    id: look.number,
    metal: look.metal,
    grade: demo.grade,
    wire_mm: look.wireMm,
    ends,
    context: { ...demo.context, ...whereFrom(demo) },
  };
}

/** What the render knows for certain, beside the parameters it was made from. */
export function renderRecord(demo: DemoBreak): Record<string, unknown> {
  const { look } = demo;
  const { body } = look;
  return {
    number: look.number,
    seed: look.seed,
    metal: look.metal,
    wire_mm: look.wireMm,
    body,
    skin: look.skin,
    ...(look.section ? { section: look.section } : {}),
    truth: {
      neck_d_mm: Math.round(look.wireMm * body.neck * 1e4) / 1e4,
      ra_pct: Math.round((1 - body.neck ** 2) * 1e3) / 10,
    },
    shots: look.shots.map((s) => {
      const frame = frameShot(look, s, 1);
      return {
        file: s.file,
        side: s.side,
        view: s.view,
        orientation: s.orientation,
        wire_diameter_px: Math.round(2 * frame.perRadius * 100) / 100,
        axis_at_break_px: [Math.round(frame.cx * 10) / 10, Math.round(frame.cy * 10) / 10],
        turn_deg: Math.round(frame.turnDeg * 1000) / 1000,
      };
    }),
  };
}

/** Invented origin of a demo break, so that the log has something to sort by: the photographs follow the break by hours. */
function whereFrom(demo: DemoBreak): Readonly<Record<string, string>> {
  const { seed } = demo.look;
  const order = demo.context["machine_order"];
  const last: unknown = Array.isArray(order) ? order.at(-1) : undefined;
  const broke = new Date(`${demo.taken}Z`);
  broke.setUTCMinutes(broke.getUTCMinutes() - (95 + ((seed * 37) % 240)));
  return {
    ...(typeof last === "string" ? { machine: last } : {}),
    cast: `HM-${4100 + seed}`,
    coil: `${(seed * 7) % 60}-${1 + (seed % 4)}`,
    broke_at: `${broke.toISOString().slice(0, 16)}:00+01:00`,
  };
}
