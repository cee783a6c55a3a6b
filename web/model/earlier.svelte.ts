import type { EarlierLean, WireBreak } from "../../model/break/wire-break.ts";
import type { Contribution, ModelAnswer, Strangeness } from "../../model/classifier/break-model.ts";
import { ClassifierError } from "../../model/classifier/classifier-error.ts";
import { BREAK_TYPE_IDS } from "../../model/evidence/break-type-ids.ts";
import type { App } from "../shell/app.svelte.ts";
import { keeperOf } from "../numbers/keeper-of-app.ts";
import { roomOf, type ModelRoom } from "./model-room.svelte.ts";

/** What the model in use says of one state of a record. */
export interface EarlierSays {
  readonly breakId: string;
  readonly revision: number;
  readonly answer: ModelAnswer;
  /** What spoke for the likeliest type and what against, largest first. */
  readonly reasons: readonly Contribution[];
  /** What makes the break unlike those learnt from, largest share first. */
  readonly strange: readonly Strangeness[];
  /** The numbers of the break that it was asked about. */
  readonly row: Float32Array;
  /** Of the model that said it. */
  readonly name: string;
  readonly digest: string;
}

interface EarlierParts {
  readonly room: ModelRoom;
  readonly numbersOf: (record: WireBreak) => Promise<Float32Array>;
}

/** What earlier breaks say of the open one: asked anew after each change, one question at a time, the latest wins. */
export class Earlier {
  says = $state.raw<EarlierSays | null>(null);
  wrong = $state.raw<ClassifierError | null>(null);
  readonly room: ModelRoom;
  readonly #parts: EarlierParts;
  #wanted: WireBreak | null = null;
  #working = false;

  constructor(parts: EarlierParts) {
    this.#parts = parts;
    this.room = parts.room;
  }

  /** Asks about this state of the record as soon as the question before is answered. */
  follow(record: WireBreak): void {
    this.#wanted = record;
    if (this.says !== null && this.says.breakId !== record.id) this.says = null;
    if (!this.#working) void this.#work();
  }

  /** What is kept beside a confirmation of this state of a record; nothing when it was not asked about yet. */
  leanOf(record: WireBreak): { readonly earlier?: EarlierLean } {
    const { says } = this;
    if (says === null || says.breakId !== record.id || says.revision !== record.revision) return {};
    const { name, digest, answer } = says;
    // A record must stay readable whatever a model file says of itself.
    const ranking = answer.ranking
      .filter(({ type }) => (BREAK_TYPE_IDS as readonly string[]).includes(type))
      .slice(0, 3)
      .map(({ type, probability }) => ({ type, probability: share(probability) }));
    return { earlier: { model: name.slice(0, MOST_NAME), digest, ranking, unlike: share(answer.unlike) } };
  }

  async #work(): Promise<void> {
    this.#working = true;
    try {
      for (let record = this.#wanted; record !== null; record = this.#next(record)) {
        const says = await this.#ask(record);
        if (this.#wanted?.id === record.id) this.says = says;
        this.wrong = null;
      }
    } catch (error) {
      this.says = null;
      this.wrong =
        error instanceof ClassifierError
          ? error
          : new ClassifierError(
              "thread-failed",
              `What earlier breaks say could not be asked (${error instanceof Error ? error.message : String(error)}).`,
              "Open the break again.",
            );
    } finally {
      this.#working = false;
    }
  }

  #next(done: WireBreak): WireBreak | null {
    return this.#wanted === done ? null : this.#wanted;
  }

  async #ask(record: WireBreak): Promise<EarlierSays | null> {
    const inUse = await this.room.open();
    const row = await this.#parts.numbersOf(record);
    // The likeliest type seldom changes with one mark, so its reasons are asked for in the same breath.
    const guess = this.says?.answer.ranking[0]?.type;
    let reply = await this.room.ask(row, guess === undefined ? [] : [guess]);
    const top = reply.answer.ranking[0]?.type;
    if (inUse === null || top === undefined) return null;
    if (reply.reasons[top] === undefined) reply = await this.room.ask(row, [top]);
    const { card, digest } = this.room.inUse ?? inUse;
    return {
      breakId: record.id,
      revision: record.revision,
      answer: reply.answer,
      reasons: reply.reasons[top] ?? [],
      strange: reply.strange,
      row,
      name: card.name,
      digest,
    };
  }
}

/** 32-bit arithmetic may end a little beyond 1. */
const share = (value: number): number => Math.min(1, Math.max(0, value));
const MOST_NAME = 100;

const all = new WeakMap<App, Earlier>();

/** One for each application: one break is open at a time. */
export function earlierOf(app: App): Earlier {
  const known = all.get(app);
  if (known) return known;
  const keeper = keeperOf(app);
  const earlier = new Earlier({ room: roomOf(app), numbersOf: (record) => keeper.numbersOf(record) });
  all.set(app, earlier);
  return earlier;
}
