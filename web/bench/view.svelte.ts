import type { EndSide, Photograph, ProposedMark, WireBreak } from "../../model/break/wire-break.ts";
import { otherSide } from "../../model/break/wire-break.ts";
import type { FeatureId } from "../../model/evidence/features.ts";
import type { GeometryType } from "../../model/break/geometry.ts";

export type Panel = "none" | "facts" | "scale" | "confirm" | "palette" | "seeing" | "faces" | "depth" | "deep";

/** What the reader's next drawing gesture makes. */
export type Drawing =
  | {
      readonly kind: "feature";
      readonly feature: FeatureId;
      readonly geometry: GeometryType;
      readonly proposed?: ProposedMark;
    }
  | { readonly kind: "scale-length" }
  | { readonly kind: "grey-patch" }
  | { readonly kind: "redraw"; readonly markId: string; readonly geometry: GeometryType };

/** How the bench is looked at: never stored, never undone. */
export class BenchView {
  side = $state<EndSide>("machine");
  shown = $state.raw<Readonly<Record<EndSide, string | null>>>({ machine: null, takeUp: null });
  selected = $state<string | null>(null);
  drawing = $state.raw<Drawing | null>(null);
  panel = $state<Panel>("none");
  /** Both stages zoom and pan together. */
  together = $state(false);
  /** One end over the full width. */
  large = $state<EndSide | null>(null);
  tierTwo = $state(false);
  marksShown = $state(true);
  /** What earlier breaks say is unfolded. */
  earlierOpen = $state(false);
  /** Marks pointed at from the evidence. */
  pointed = $state.raw<readonly string[]>([]);

  other(): void {
    this.side = otherSide(this.side);
  }

  photographOf(wireBreak: WireBreak, side: EndSide): Photograph | null {
    const list = wireBreak.ends[side].photographs;
    return list.find((p) => p.id === this.shown[side]) ?? list[0] ?? null;
  }

  show(side: EndSide, photographId: string): void {
    this.shown = { ...this.shown, [side]: photographId };
    this.side = side;
  }

  step(wireBreak: WireBreak, side: EndSide, by: number): void {
    const list = wireBreak.ends[side].photographs;
    const at = list.findIndex((p) => p.id === this.photographOf(wireBreak, side)?.id);
    const next = list[(at + by + list.length) % Math.max(1, list.length)];
    if (next) this.show(side, next.id);
  }

  reset(): void {
    this.drawing = null;
    this.panel = "none";
    this.selected = null;
    this.pointed = [];
  }
}
