import type { SecondReading, WireBreak } from "../../model/break/wire-break.ts";
import { END_SIDES } from "../../model/break/wire-break.ts";
import type { Verdict } from "../../model/evidence/break-type-ids.ts";
import { type NotServed, whyKnown } from "../../model/reference/second/queue.ts";
import { Bench } from "../bench/bench.svelte.ts";
import type { Pictures } from "../bench/pictures.ts";
import type { SeeingTools } from "../bench/seeing.svelte.ts";
import type { App } from "../shell/app.svelte.ts";
import { BlindDesk } from "./blind-desk.svelte.ts";
import { DraftStore, type DraftWords } from "./draft-store.ts";
import type { Rounds } from "./rounds.svelte.ts";
import { storeReading } from "./store-reading.ts";

/** Typing is kept when it has rested so long. */
const REST_MS = 400;

/** One break under the eyes of a second reader, from serving it to the reading on the disk. */
export class BlindReading {
  desk = $state.raw<BlindDesk | null>(null);
  /** Why it is not served; "missing" = not on this bench. */
  refused = $state<NotServed | "missing" | null>(null);
  type = $state<Verdict | "">("");
  note = $state("");
  wrong = $state<string | null>(null);
  finishing = $state(false);
  /** The record with the reading, once it is on the disk. */
  done = $state.raw<WireBreak | null>(null);
  number = $state("");
  readonly app: App;
  readonly #breakId: string;
  readonly #rounds: Rounds;
  readonly #reader: string;
  #draft: DraftStore | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  /** Finishing without a mark was asked for once. */
  #warned = false;

  constructor(app: App, breakId: string, rounds: Rounds) {
    this.app = app;
    this.#breakId = breakId;
    this.#rounds = rounds;
    this.#reader = app.preferences.reader.trim();
  }

  async open(pictures: Pictures, seeing: SeeingTools): Promise<void> {
    const { app } = this;
    const stored = await app.bench.load(this.#breakId);
    if (stored === null) {
      this.refused = "missing";
      return;
    }
    const { record } = stored;
    this.number = record.number;
    const draft = await DraftStore.open(app.bench, record, this.#reader, app.surroundings.newId);
    // Stored before the tab died; only the draft was left.
    const mine = record.readings?.some(({ id }) => id === draft.readingId) === true;
    if (mine && app.mode === "writer") await draft.discard();
    this.refused = whyKnown(record, this.#reader);
    if (this.refused !== null) {
      if (app.mode === "writer")
        await (this.refused === "read-already" ? this.#rounds.noteRead(record.id) : this.#rounds.takeOut(record.id));
      return;
    }
    this.#draft = draft;
    this.type = draft.words.type ?? "";
    this.note = draft.words.note;
    const bench = new Bench(draft.record, draft.log, {
      store: draft,
      now: app.surroundings.now,
      reader: () => this.#reader,
      onSaved: () => undefined,
    });
    this.desk = new BlindDesk(app, bench, pictures, seeing);
    if (draft.lost > 0)
      app.need(
        `The break was changed since you began: ${draft.lost === 1 ? "one step" : `${draft.lost} steps`} of your reading lay on a photograph that is no longer where it was.`,
        "Look through your marks before you finish.",
      );
  }

  get marks(): number {
    return this.desk === null ? 0 : END_SIDES.reduce((n, side) => n + this.desk!.record.ends[side].marks.length, 0);
  }

  setType(type: Verdict | ""): void {
    this.type = type;
    this.wrong = null;
    this.#keepSoon(0);
  }

  setNote(note: string): void {
    this.note = note;
    this.#keepSoon(REST_MS);
  }

  /** Writes the words that still wait to be written. */
  async flush(): Promise<void> {
    clearTimeout(this.#timer);
    const draft = this.#draft;
    const words = this.#words;
    if (draft === null || this.done !== null || this.app.mode === "reader") return;
    if (words.type !== draft.words.type || words.note !== draft.words.note) await draft.keepWords(words);
  }

  /** Adds the reading to the break. What stops it is said in `wrong` or in a message; the draft is kept then. */
  async finish(): Promise<void> {
    const { app, desk } = this;
    const draft = this.#draft;
    if (desk === null || draft === null || this.finishing) return;
    this.wrong = this.#lacking();
    if (this.wrong !== null) return;
    this.finishing = true;
    try {
      desk.seeing.flush();
      await this.flush();
      await desk.bench.settled();
      const { ends } = desk.record;
      const at = app.surroundings.now();
      this.done = await storeReading(app, this.#breakId, (found) =>
        readingOf(draft, { by: this.#reader, at }, this.#words, ends, found),
      );
      await this.#rounds.noteRead(this.#breakId);
      await draft.discard();
    } catch (error) {
      app.report(error);
    } finally {
      this.finishing = false;
    }
  }

  /** Leaves the break for the end of the round; the draft stays. */
  async later(): Promise<void> {
    try {
      await this.flush();
      await this.desk?.bench.settled();
      await this.#rounds.putBack(this.#breakId);
      this.goOn();
    } catch (error) {
      this.app.report(error);
    }
  }

  /** To the next break of the round, or back to the queue. */
  goOn(): void {
    const next = this.#rounds.nextId;
    this.app.go({ screen: "second", breakId: next === this.#breakId ? null : next });
  }

  compare(): void {
    this.app.go({ screen: "readers", breakId: this.#breakId });
  }

  close(): void {
    this.desk?.seeing.flush();
    this.flush().catch((error: unknown) => this.app.report(error));
  }

  get #words(): DraftWords {
    return { type: this.type === "" ? null : this.type, note: this.note };
  }

  #lacking(): string | null {
    if (this.app.mode === "reader")
      return "This tab is only reading: another tab writes. Go on there; your marks wait.";
    if (this.type === "") return "State the break type; “undecided” is a finding as well.";
    if (this.marks > 0 || this.#warned) return null;
    this.#warned = true;
    return "Nothing is marked on either end. Mark what you see, or finish once more to state the type alone.";
  }

  #keepSoon(ms: number): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      this.flush().catch((error: unknown) => this.app.report(error));
    }, ms);
  }
}

function readingOf(
  { readingId, revision }: DraftStore,
  who: { readonly by: string; readonly at: string },
  { type, note }: DraftWords,
  { machine, takeUp }: WireBreak["ends"],
  { confirmations }: WireBreak,
): SecondReading {
  const last = confirmations.at(-1);
  return {
    id: readingId,
    type: type ?? "undetermined",
    marks: { machine: machine.marks, takeUp: takeUp.marks },
    note: note.trim(),
    ...who,
    beside: last?.kind === "confirmed" ? last.id : null,
    revision,
  };
}
