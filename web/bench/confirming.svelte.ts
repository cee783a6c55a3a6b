import type { Confirmation, ConfirmationMeans } from "../../model/break/wire-break.ts";
import type { Verdict } from "../../model/evidence/break-type-ids.ts";
import type { FiredRule } from "../../model/evidence/suggestion.ts";
import { speaksAgainst, unansweredAgainst } from "../../model/reference/answers.ts";
import { standingOf, type Standing } from "../../model/reference/ladder.ts";
import { earlierOf } from "../model/earlier.svelte.ts";
import type { Desk } from "./desk.svelte.ts";
import { typeName } from "./words.ts";

type Confirmed = Extract<Confirmation, { readonly kind: "confirmed" }>;

/** Fewest letters of a reason that somebody else can make something of. */
const SHORTEST_REASON = 8;
const SHORTEST_REOPENING = 4;

/** What a confirmation needs of where it is written: the bench, or where second readings are settled. */
export type ConfirmedAt = Pick<Desk, "app" | "bench" | "record">;

/** A confirmation while it is written: what it still lacks and how far up the lab's ladder it would bring the break. */
export class Confirming {
  type = $state<Verdict | "">("");
  means = $state<ConfirmationMeans[]>([]);
  reason = $state("");
  by = $state("");
  /** Words against each rule that speaks the other way. */
  answers = $state<Record<string, string>>({});
  wrong = $state<string | null>(null);
  readonly #desk: ConfirmedAt;
  readonly #resolves: readonly string[];

  /** @param resolves – identifiers of the second readings whose disagreement the line settles. */
  constructor(desk: ConfirmedAt, resolves: readonly string[] = []) {
    this.#desk = desk;
    this.#resolves = resolves;
    this.by = desk.app.preferences.reader;
    const last = this.last;
    if (last?.kind === "confirmed") this.type = last.type;
  }

  readonly last = $derived.by(() => this.#desk.record.confirmations.at(-1));
  /** No confirmation stands: the type is to be chosen. */
  readonly open = $derived.by(() => this.last?.kind !== "confirmed");
  readonly suggestion = $derived.by(() => this.#desk.bench.suggestion);
  /** Rules against the chosen type, each once. */
  readonly against: readonly FiredRule[] = $derived.by(() =>
    this.type === "" ? [] : unansweredAgainst({ type: this.type }, this.suggestion),
  );
  /** What makes the type impossible by the rules: told, and answered by the reason. */
  readonly gates: readonly FiredRule[] = $derived.by(() =>
    this.suggestion.against.filter(
      (rule) => rule.type === this.type && !speaksAgainst(rule.type, this.suggestion).includes(rule),
    ),
  );
  readonly differs = $derived.by(() => this.type !== "" && this.type !== this.suggestion.verdict);
  readonly reasonNeeded = $derived.by(() => this.differs || this.gates.length > 0);
  /** Where the break would stand with this line; null until a type is chosen. */
  readonly standing: Standing | null = $derived.by(() => {
    if (this.type === "") return null;
    const line = this.#line("", "");
    const { record } = this.#desk;
    return standingOf({ ...record, confirmations: [...record.confirmations, line] }, this.#desk.app.ladder);
  });

  /** @returns whether the line was added. */
  confirm(): boolean {
    this.wrong = this.#fault();
    if (this.wrong !== null || this.type === "") return false;
    const { app, bench } = this.#desk;
    this.#remember();
    try {
      bench.apply(
        { kind: "add-confirmation", confirmation: this.#line(app.surroundings.newId(), app.surroundings.now()) },
        "confirmation",
      );
    } catch (error) {
      app.report(error);
      return false;
    }
    const how = this.#resolves.length > 0 ? "Settled as" : this.open ? "Confirmed as" : "Still confirmed as";
    app.say(`${how} ${typeName(this.type)}.`);
    return true;
  }

  reopen(): void {
    const { app, bench } = this.#desk;
    const words = this.reason.trim();
    this.wrong =
      this.by.trim() === "" || words.length < SHORTEST_REOPENING ? "Say who re-opens the break and why." : null;
    if (this.wrong !== null) return;
    this.#remember();
    try {
      const { newId, now } = app.surroundings;
      const confirmation = { kind: "reopened", id: newId(), reason: words, by: this.by.trim(), at: now() } as const;
      bench.apply({ kind: "add-confirmation", confirmation }, "confirmation");
      this.reason = "";
      this.type = "";
      this.means = [];
    } catch (error) {
      app.report(error);
    }
  }

  #fault(): string | null {
    if (this.type === "") return "Choose the break type.";
    if (this.means.length === 0) return "Say how it was confirmed.";
    if (this.by.trim() === "") return "Say who confirms.";
    const [unanswered] = unansweredAgainst({ type: this.type, answers: this.#answered() }, this.suggestion);
    if (unanswered !== undefined)
      return `There is evidence the other way: say in words why it does not hold. “${unanswered.says}”`;
    if (this.reasonNeeded && this.reason.trim().length < SHORTEST_REASON)
      return "It differs from what the evidence suggests: give the reason in words.";
    const short = this.standing?.short ?? [];
    return short.length > 0 ? `This lab confirms a break only with more behind it. ${short.join(" ")}` : null;
  }

  #answered() {
    return this.against
      .map(({ rule }) => ({ rule, words: (this.answers[rule] ?? "").trim() }))
      .filter(({ words }) => words !== "");
  }

  /** The line as it would be added, at the level it brings the break to. */
  #line(id: string, at: string): Confirmed {
    const { app, record } = this.#desk;
    const answers = this.#answered();
    const line: Confirmed = {
      kind: "confirmed",
      id,
      type: this.type === "" ? "undetermined" : this.type,
      means: [...this.means],
      reason: this.reason.trim(),
      by: this.by.trim(),
      at,
      suggestion: this.suggestion,
      revision: record.revision,
      ...(answers.length === 0 ? {} : { answers }),
      ...earlierOf(app).leanOf(record),
      ...(this.#resolves.length === 0 ? {} : { resolves: this.#resolves }),
    };
    const { level } = standingOf({ ...record, confirmations: [...record.confirmations, line] }, app.ladder);
    return level === null ? line : { ...line, level: level.id };
  }

  /** A name written here is the reader's from now on. */
  #remember(): void {
    const { app } = this.#desk;
    const by = this.by.trim();
    if (by !== app.preferences.reader) app.prefer({ reader: by }).catch((error: unknown) => app.report(error));
  }
}
