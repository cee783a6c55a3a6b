import { untrack } from "svelte";
import type { EndSide, Photograph, SecondReading, WireBreak } from "../../model/break/wire-break.ts";
import { compareMarks } from "../../model/reference/second/compare-marks.ts";
import { pairsOf, settlementOf, type ReadPair } from "../../model/reference/second/pairs.ts";
import { samePerson } from "../../model/reference/second/reader-name.ts";
import type { Bench } from "../bench/bench.svelte.ts";
import type { App } from "../shell/app.svelte.ts";
import { markRows } from "./mark-rows.ts";
import { Resolving } from "./resolving.svelte.ts";

/** One break with what two readers made of it. */
export class DifferenceDesk {
  readonly app: App;
  readonly bench: Bench;
  /** Which second reader, where there are several. */
  chosenId = $state<string | null>(null);
  /** The view shown of each end; null = the first with a mark on it. */
  shown = $state.raw<Readonly<Record<EndSide, string | null>>>({ machine: null, takeUp: null });
  /** Both readings on one picture instead of one below the other. */
  overlaid = $state(false);
  said = $state("");

  constructor(app: App, bench: Bench) {
    this.app = app;
    this.bench = bench;
  }

  readonly record: WireBreak = $derived.by(() => this.bench.record);
  readonly pairs = $derived.by(() => pairsOf(this.record));
  readonly pair: ReadPair | null = $derived.by(
    () =>
      this.pairs.find(({ second }) => second.id === this.chosenId) ??
      this.pairs.find((pair) => settlementOf(this.record, pair.second).state === "open" && differ(pair)) ??
      this.pairs[0] ??
      null,
  );
  readonly settlement = $derived.by(() => (this.pair === null ? null : settlementOf(this.record, this.pair.second)));
  readonly rows = $derived.by(() =>
    this.pair === null ? [] : markRows(this.record, this.pair.second, this.app.preferences.lengthUnit),
  );
  readonly strong = $derived.by(() => (this.pair === null ? [] : compareMarks(this.record, this.pair.second).strong));
  readonly #openId = $derived.by(() => (this.settlement?.state === "open" ? (this.pair?.second.id ?? null) : null));
  /** A fresh one for each open reading and only then: what is typed must outlive everything else that changes. */
  readonly resolving = $derived.by(() =>
    this.#openId === null ? null : untrack(() => this.pair && new Resolving(this.app, this.bench, this.pair)),
  );

  photograph(side: EndSide): Photograph | null {
    const { photographs } = this.record.ends[side];
    const marked = this.rows.flatMap(({ first, second }) => [first?.photographId, second?.photographId]);
    return (
      photographs.find(({ id }) => id === this.shown[side]) ??
      photographs.find(({ id }) => marked.includes(id)) ??
      photographs[0] ??
      null
    );
  }

  /** The next view of both ends. @returns false when there is one view only. */
  nextView(): boolean {
    const ends = (["machine", "takeUp"] as const).map((side) => {
      const list = this.record.ends[side].photographs;
      const at = list.findIndex(({ id }) => id === this.photograph(side)?.id);
      return { several: list.length > 1, id: list[(at + 1) % Math.max(1, list.length)]?.id ?? null };
    });
    this.shown = { machine: ends[0]?.id ?? null, takeUp: ends[1]?.id ?? null };
    return ends.some(({ several }) => several);
  }

  settle(): void {
    if (this.resolving?.settle()) this.said = "Settled; the reason stands in the history.";
  }

  /** Whether the reader who is named now could still read this break blind: then nothing may be shown unasked. */
  waitsFor(reader: string): boolean {
    const { confirmations, readings = [], ends } = this.record;
    const hands = [...confirmations, ...readings, ...ends.machine.marks, ...ends.takeUp.marks];
    return reader !== "" && !hands.some(({ by }) => samePerson(by, reader));
  }
}

const differ = ({ first, second }: { first: ReadPair["first"]; second: SecondReading }): boolean =>
  first.type !== second.type;
