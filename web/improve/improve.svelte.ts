import type { ModelCard } from "../../model/classifier/break-model.ts";
import { ClassifierError } from "../../model/classifier/classifier-error.ts";
import type { ModelComparison, SaidOfBreak } from "../../model/classifier/compare-models.ts";
import { learnWeights, type JudgedBreak } from "../../model/classifier/pool.ts";
import {
  bytesOfSet,
  lackingOf,
  setOfBreaks,
  type NumberedBreak,
  type SetOfBreaks,
} from "../../model/classifier/set-of-breaks.ts";
import { COLUMN_NAMES } from "../../model/classifier/vector.ts";
import { BREAK_TYPE_IDS, type BreakTypeId } from "../../model/evidence/break-type-ids.ts";
import { weigh } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import { type FrozenVersion, heldBack } from "../../model/reference/set-version-frozen.ts";
import type { LearntWeights } from "../model/model-shelf.ts";
import { roomOf, type ModelRoom } from "../model/model-room.svelte.ts";
import { keeperOf } from "../numbers/keeper-of-app.ts";
import { latestVersion } from "../reference/version-shelf.ts";
import type { App } from "../shell/app.svelte.ts";
import { sha256Hex } from "../storage/canonical.ts";
import { compareInThread, type Compared } from "../workers/compare-client.ts";
import { createLearnService } from "../workers/learn-client.ts";
import { labCard, type LearntFrom } from "./lab-card.ts";

/** A model that was learnt here and waits for a decision. */
export interface Learnt {
  readonly file: Uint8Array<ArrayBuffer>;
  readonly card: ModelCard;
  readonly classes: readonly string[];
  /** Null when there is no model in use to compare with. */
  readonly comparison: ModelComparison | null;
  readonly learntFrom: readonly string[];
  /** How much it would count beside the rules; left out = too few breaks to learn it. */
  readonly weights?: LearntWeights;
  readonly left: SetOfBreaks["tooFew"];
  /** Breaks of the frozen test part, kept from learning. */
  readonly heldBack: number;
}

/** What is being done now. */
export interface Doing {
  readonly what: string;
  /** Share of the whole, 0–1. */
  readonly part: number;
}

/** Same breaks, same model. */
const SEED = 1;
/** Weights are two numbers: the latest breaks are enough to learn them. */
const WEIGHED = 400;

/** Learning from the confirmed breaks of this bench, and what to do with what was learnt. Outlives the screen. */
export class Improve {
  readonly room: ModelRoom;
  doing = $state.raw<Doing | null>(null);
  stopping = $state(false);
  learnt = $state.raw<Learnt | null>(null);
  wrong = $state.raw<ClassifierError | null>(null);
  /** The invented, rendered breaks of the demo mill are learnt from too. */
  withDemo = $state(false);
  /** Latest version of the reference set; null = none. */
  version = $state.raw<FrozenVersion | null>(null);
  /** Confirmed breaks that nothing may be learnt from: those of the frozen test part and of its groups. */
  readonly held = $derived.by(() =>
    heldBack(
      this.version,
      this.#app.summaries.filter((s) => s.confirmed !== null && !s.binned && (this.withDemo || !s.demo)),
    ),
  );
  readonly #app: App;
  #stop: AbortController | null = null;

  constructor(app: App) {
    this.#app = app;
    this.room = roomOf(app);
  }

  /** Reads which breaks the reference set keeps from learning. @throws StoreError */
  async readSet(): Promise<void> {
    this.version = await latestVersion(this.#app.bench);
  }

  /** Confirmed breaks of each type that may be learnt from, from the log. */
  counts(): readonly { readonly type: BreakTypeId; readonly breaks: number }[] {
    const own = this.#app.summaries.filter(
      (s) => s.confirmed !== null && !s.binned && (this.withDemo || !s.demo) && !this.held.has(s.id),
    );
    return BREAK_TYPE_IDS.map((type) => ({ type, breaks: own.filter((s) => s.confirmed === type).length })).filter(
      (c) => c.breaks > 0,
    );
  }

  /** Confirmed demo breaks on the bench. */
  demoConfirmed(): number {
    return this.#app.summaries.filter((s) => s.demo && s.confirmed !== null && !s.binned).length;
  }

  async learn(): Promise<void> {
    if (this.doing !== null) return;
    const stop = new AbortController();
    this.#stop = stop;
    this.wrong = null;
    this.learnt = null;
    try {
      this.learnt = await this.#learn(stop.signal);
    } catch (error) {
      if (stop.signal.aborted) this.#app.say("Stopped. The model in use stays.");
      else if (error instanceof ClassifierError) this.wrong = error;
      else this.#app.report(error);
    } finally {
      this.#stop = null;
      this.doing = null;
      this.stopping = false;
    }
  }

  cancel(): void {
    this.stopping = this.#stop !== null;
    this.#stop?.abort();
  }

  /** Takes what was learnt into use. */
  async adopt(): Promise<void> {
    const { learnt } = this;
    if (learnt === null) return;
    const { comparison, card } = learnt;
    const why =
      comparison === null
        ? `learnt from ${card.trainedOn}; there was none to compare with`
        : `learnt from ${card.trainedOn}; ${comparison.fresh.of} of ${comparison.judged} right against ${comparison.inUse.of}` +
          (comparison.recommend === "keep" ? "; adopted against the recommendation" : "");
    await this.#attempt(async () => {
      await this.room.adopt(learnt.file, {
        from: "learnt-here",
        why,
        learntFrom: learnt.learntFrom,
        ...(learnt.weights === undefined ? {} : { weights: learnt.weights }),
      });
      this.learnt = null;
      this.#app.say(`In use from now on: ${card.name}.`);
    });
  }

  keep(): void {
    this.learnt = null;
  }

  async openFile(file: File): Promise<void> {
    await this.#attempt(async () => {
      const bytes = new Uint8Array(await file.arrayBuffer());
      const { card } = await this.room.adopt(bytes, {
        from: "file",
        why: `opened from ${file.name}`,
        learntFrom: null,
      });
      this.#app.say(`In use from now on: ${card.name}.`);
    });
  }

  async rollBack(digest: string | null, name: string): Promise<void> {
    await this.#attempt(async () => {
      await this.room.rollBack(digest, `rolled back to ${name}`);
      this.#app.say(`In use from now on: ${name}.`);
    });
  }

  async #attempt(work: () => Promise<void>): Promise<void> {
    this.wrong = null;
    try {
      await work();
    } catch (error) {
      if (error instanceof ClassifierError) this.wrong = error;
      else this.#app.report(error);
    }
  }

  async #learn(signal: AbortSignal): Promise<Learnt | null> {
    const tell = (from: number, to: number, what: string) => (part: number) =>
      (this.doing = { what, part: from + (to - from) * part });
    tell(0, 0, "Putting the confirmed breaks in numbers")(0);
    const confirmed = await keeperOf(this.#app).allConfirmed({
      signal,
      onProgress: ({ done, total }) =>
        tell(0, 0.3, `Putting the confirmed breaks in numbers: ${done} of ${total}`)(done / total),
    });
    await this.readSet();
    const held = this.held;
    const wanted = confirmed.filter((b) => this.withDemo || !b.demo);
    const used = wanted.filter((b) => !held.has(b.id));
    const learnable = setOfBreaks(used satisfies readonly NumberedBreak[], COLUMN_NAMES);
    // What was never learnt from judges best.
    const breaks: SetOfBreaks = {
      ...learnable,
      rest: [...learnable.rest, ...wanted.filter((b) => held.has(b.id) && b.type !== "undetermined")],
    };
    const lacking = lackingOf(breaks);
    if (lacking !== null) throw new ClassifierError("too-few-types", lacking.says, lacking.next);
    const learntFrom: LearntFrom = {
      own: breaks.ids.filter((id) => !used.find((b) => b.id === id)!.demo).length,
      demo: breaks.ids.filter((id) => used.find((b) => b.id === id)!.demo).length,
    };
    const inUse = await this.room.open();
    const options = {
      ...labCard(learntFrom, this.#app.surroundings.now(), held.size),
      seed: SEED,
      dataDigest: await sha256Hex(bytesOfSet(breaks.set)),
    };
    const learning = createLearnService();
    let file: Uint8Array<ArrayBuffer>;
    try {
      file = await learning.learn(breaks.set, options, {
        signal,
        onPart: (part, what) => tell(0.3, 0.8, what)(part),
      });
    } finally {
      learning.close();
    }
    const compared = await compareInThread(
      {
        breaks,
        fresh: file,
        inUse: inUse === null ? null : this.room.file,
        learntFrom: inUse?.learntFrom ?? [],
      },
      { signal, onPart: tell(0.8, 0.95, "Comparing with the model in use on breaks that neither learnt from") },
    );
    tell(0.95, 1, "Setting it against the rules")(0);
    const weights = await this.#weights(compared.said, signal);
    return {
      file,
      ...asLearnt(compared),
      learntFrom: breaks.ids,
      left: breaks.tooFew,
      heldBack: held.size,
      ...(weights === null ? {} : { weights }),
    };
  }

  /** How much the new model and the one in use should count beside the rules; null with too few breaks. */
  async #weights(said: Compared["said"], signal: AbortSignal): Promise<LearntWeights | null> {
    const judged: { readonly by: SaidOfBreak; readonly suggestion: JudgedBreak["suggestion"] }[] = [];
    for (const by of said.slice(-WEIGHED)) {
      signal.throwIfAborted();
      const stored = await this.#app.bench.load(by.id);
      if (stored !== null) judged.push({ by, suggestion: weigh(observe(stored.record)) });
    }
    const of = (which: "fresh" | "inUse") =>
      learnWeights(judged.map(({ by, suggestion }) => ({ truth: by.truth, suggestion, answer: by[which] })));
    if (judged.length < FEWEST_TO_WEIGH) return null;
    // A tab that only reads compares all the same; it just keeps nothing.
    if (this.#app.mode === "writer") await this.room.weigh({ ...of("inUse"), breaks: judged.length });
    return { ...of("fresh"), breaks: judged.length };
  }
}

/** As in `learnWeights`: below this, caution stays. */
const FEWEST_TO_WEIGH = 30;

const asLearnt = ({ card, classes, comparison }: Compared): Pick<Learnt, "card" | "classes" | "comparison"> => ({
  card,
  classes,
  comparison,
});

const all = new WeakMap<App, Improve>();

/** One for each application, so that learning goes on while another screen is open. */
export function improveOf(app: App): Improve {
  const known = all.get(app);
  if (known) return known;
  const improve = new Improve(app);
  all.set(app, improve);
  return improve;
}
