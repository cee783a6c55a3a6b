import type { Verdict } from "../../model/evidence/break-type-ids.ts";
import { FEWEST_SIGNS } from "../../model/reference/answers.ts";
import type { ReadPair } from "../../model/reference/second/pairs.ts";
import type { Bench } from "../bench/bench.svelte.ts";
import { Confirming } from "../bench/confirming.svelte.ts";
import type { App } from "../shell/app.svelte.ts";

/** What is decided about two readings that differ. */
export type Decision = "first" | "second" | "third" | "reopen";

/** A disagreement while it is settled: a confirmation that names the reading, or the break re-opened. */
export class Resolving {
  readonly confirming: Confirming;
  decision = $state<Decision | null>(null);
  third = $state<Verdict | "">("");
  readonly #pair: ReadPair;

  constructor(app: App, bench: Bench, pair: ReadPair) {
    this.#pair = pair;
    this.confirming = new Confirming({ app, bench, get record() { return bench.record; } }, [pair.second.id]); // prettier-ignore
    this.confirming.type = "";
    // The person who settles it is one who knows both readings: their name is asked for, not taken over.
    this.confirming.by = app.preferences.reader;
  }

  choose(decision: Decision): void {
    this.decision = decision;
    this.confirming.wrong = null;
    this.confirming.type = this.#typeOf(decision);
  }

  chooseThird(type: Verdict | ""): void {
    this.third = type;
    this.choose("third");
  }

  /** @returns whether a line was added to the break. */
  settle(): boolean {
    const { confirming, decision } = this;
    const fault = this.#fault();
    if (fault !== null) {
      confirming.wrong = fault;
      return false;
    }
    if (decision !== "reopen") return confirming.confirm();
    confirming.reopen();
    return confirming.wrong === null;
  }

  #fault(): string | null {
    if (this.decision === null) return "Choose what the break is, or that it cannot be settled.";
    if (this.decision === "third" && this.third === "") return "Choose the third type.";
    const signs = this.confirming.reason.match(/[\p{L}\p{N}]/gu)?.length ?? 0;
    return signs < FEWEST_SIGNS
      ? "Give the reason in words: the next reader of this break has to understand it."
      : null;
  }

  #typeOf(decision: Decision): Verdict | "" {
    if (decision === "first") return this.#pair.first.type;
    if (decision === "second") return this.#pair.second.type;
    return decision === "third" ? this.third : "";
  }
}
