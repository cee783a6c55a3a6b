import type { Shot } from "../break-spec.ts";
import type { Side } from "../end-surface.ts";
import type { ShotView } from "../view.ts";

const NAME: Readonly<Record<ShotView, string>> = {
  end_on: "end-on",
  side_0: "side0",
  side_90: "side90",
  section_long: "section",
};

export type ShotChoice = Partial<Omit<Shot, "side" | "view">>;

/** One shot, named as the lab names its files: number, M or T, view. */
export const shot = (number: string, side: Side, view: ShotView, choice: ShotChoice = {}): Shot => ({
  file: `${number}_${side === "machine" ? "M" : "T"}_${NAME[view]}.jpg`,
  side,
  view,
  orientation: 1,
  ...choice,
});

/** The usual four: end-on and side view of both ends. */
export function fourShots(number: string, endOn: ShotChoice = {}, side: ShotChoice = {}): readonly Shot[] {
  return [
    shot(number, "machine", "end_on", endOn),
    shot(number, "machine", "side_0", side),
    shot(number, "takeUp", "end_on", endOn),
    shot(number, "takeUp", "side_0", side),
  ];
}
