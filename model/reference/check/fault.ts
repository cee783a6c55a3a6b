/** What can be wrong with a set. */
export type FaultCode =
  | "not-a-set"
  | "bad-path"
  | "path-twice"
  | "file-missing"
  | "file-unlisted"
  | "wrong-hash"
  | "not-json"
  | "not-a-table"
  | "coco-form"
  | "croissant-form"
  | "croissant-shape"
  | "remote-context"
  | "dangling-reference"
  | "duplicate-id"
  | "unknown-case"
  | "unknown-image"
  | "unknown-category"
  | "unknown-licence"
  | "category-changed"
  | "picture-missing"
  | "picture-unreadable"
  | "picture-size"
  | "picture-turned"
  | "picture-position"
  | "crop-scale"
  | "end-missing"
  | "outside-picture"
  | "box-differs"
  | "area-differs"
  | "keypoints"
  | "tables-differ"
  | "wrong-part"
  | "group-torn"
  | "photograph-in-two-parts"
  | "unconfirmed"
  | "formula-cell"
  | "records";

export interface Fault {
  readonly code: FaultCode;
  /** File, and where in it. */
  readonly where: string;
  readonly says: string;
}

/** Gathers faults; a file of ten thousand alike ones is told by the first of them. */
export class Faults {
  readonly list: Fault[] = [];
  private readonly counts = new Map<string, number>();

  constructor(private readonly most = 20) {}

  add(code: FaultCode, where: string, says: string): void {
    const n = (this.counts.get(code) ?? 0) + 1;
    this.counts.set(code, n);
    if (n <= this.most) this.list.push({ code, where, says });
  }

  get count(): number {
    return [...this.counts.values()].reduce((sum, n) => sum + n, 0);
  }

  /** How many of a kind are not in the list. */
  get untold(): readonly { readonly code: string; readonly more: number }[] {
    return [...this.counts].flatMap(([code, n]) => (n > this.most ? [{ code, more: n - this.most }] : []));
  }
}
