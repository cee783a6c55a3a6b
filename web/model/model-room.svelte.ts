import { ClassifierError } from "../../model/classifier/classifier-error.ts";
import { CAUTIOUS, type PoolWeights } from "../../model/classifier/pool.ts";
import type { App } from "../shell/app.svelte.ts";
import { sha256Hex } from "../storage/canonical.ts";
import type { BenchStore } from "../storage/contract.ts";
import { createModelService, type ModelReply, type ModelService, type OpenedModel } from "../workers/model-client.ts";
import {
  EMPTY_SHELF,
  keepFile,
  readKept,
  readShelf,
  writeShelf,
  type KeptModel,
  type LearntWeights,
  type Shelf,
  type ShelfLine,
} from "./model-shelf.ts";
import { shippedModel } from "./shipped.ts";

/** The model that answers now. */
export interface InUse extends OpenedModel {
  readonly digest: string;
  readonly from: "shipped" | KeptModel["from"];
  /** Breaks of this bench that it learnt from; null = not known. */
  readonly learntFrom: readonly string[] | null;
}

export interface RoomParts {
  readonly store: Pick<BenchStore, "getSetting" | "setSetting">;
  readonly now: () => string;
  readonly reader: () => string;
  readonly shipped: () => Promise<Uint8Array<ArrayBuffer>>;
  readonly service: () => ModelService;
}

/** Where a file comes from that is about to be used. */
export interface Provenance {
  readonly from: KeptModel["from"];
  readonly why: string;
  readonly learntFrom: readonly string[] | null;
  readonly weights?: LearntWeights;
}

/** The model in use: opened when first asked, replaced only by one that opens, remembered with its whole history. */
export class ModelRoom {
  inUse = $state.raw<InUse | null>(null);
  shelf = $state.raw<Shelf>(EMPTY_SHELF);
  /** Why a model cannot be used, or why another than the chosen one is; the words of the refusal. */
  problem = $state.raw<ClassifierError | null>(null);
  opening = $state(false);
  readonly #parts: RoomParts;
  #service: ModelService | null = null;
  #file: Uint8Array<ArrayBuffer> | null = null;
  #opened: Promise<InUse | null> | null = null;

  constructor(parts: RoomParts) {
    this.#parts = parts;
  }

  /** How much the model in use counts beside the rules. */
  get weights(): PoolWeights {
    const key = this.inUse === null || this.inUse.from === "shipped" ? "shipped" : this.inUse.digest;
    return this.shelf.weights[key] ?? CAUTIOUS;
  }

  /** File of the model in use. */
  get file(): Uint8Array<ArrayBuffer> | null {
    return this.#file;
  }

  /** Opens the model in use, once. @returns null when none can be used; `problem` says why. */
  open(): Promise<InUse | null> {
    return (this.#opened ??= this.#open());
  }

  /** @throws ClassifierError `no-model` when none can be used; whatever asking throws. */
  async ask(row: Float32Array, reasonsFor: readonly string[]): Promise<ModelReply> {
    if ((await this.open()) === null)
      throw this.problem ?? new ClassifierError("no-model", "No model is in use.", "Open a model from a file.");
    return this.#asking().ask(row, reasonsFor);
  }

  /**
   * Takes a model into use and keeps it on the disk. Refused, the one before stays.
   *
   * @throws ClassifierError what is wrong with the file; StoreError when it could not be kept.
   */
  async adopt(file: Uint8Array<ArrayBuffer>, { from, why, learntFrom, weights }: Provenance): Promise<InUse> {
    await this.open();
    const { store } = this.#parts;
    const opened = await this.#asking().open(file);
    const digest = await sha256Hex(file);
    const { card, classes } = opened;
    const kept: KeptModel = {
      digest,
      name: card.name,
      from,
      byteLength: file.length,
      breaks: card.breaks,
      types: classes.length,
      right: card.accuracy.of,
      judged: card.accuracy.n,
    };
    try {
      await keepFile(store, digest, file, learntFrom);
      await this.#write({
        ...this.shelf,
        inUse: digest,
        models: [...this.shelf.models.filter((m) => m.digest !== digest), kept],
        lines: [...this.shelf.lines, this.#line("adopted", digest, why)],
        weights: weights === undefined ? this.shelf.weights : { ...this.shelf.weights, [digest]: weights },
      });
    } catch (error) {
      if (this.#file !== null) await this.#asking().open(this.#file);
      throw error;
    }
    return this.#use(opened, file, { digest, from, learntFrom });
  }

  /** Back to a model that was in use once; null = the one that came with Endpair. @throws as `adopt` */
  async rollBack(digest: string | null, why: string): Promise<InUse> {
    await this.open();
    const before = this.shelf;
    const { file, about } = await this.#read(digest);
    const opened = await this.#asking().open(file);
    try {
      await this.#write({
        ...before,
        inUse: digest,
        lines: [...before.lines, this.#line("rolled-back", digest, why)],
      });
    } catch (error) {
      if (this.#file !== null) await this.#asking().open(this.#file);
      throw error;
    }
    return this.#use(opened, file, about);
  }

  /** File of a model that was in use once. @throws ClassifierError `not-a-model` when it is gone. */
  async fileOf(digest: string): Promise<Uint8Array<ArrayBuffer>> {
    return (await this.#read(digest)).file;
  }

  /** Remembers how much the model in use counts beside the rules. @throws StoreError */
  async weigh(weights: LearntWeights): Promise<void> {
    const key = this.inUse === null || this.inUse.from === "shipped" ? "shipped" : this.inUse.digest;
    await this.#write({ ...this.shelf, weights: { ...this.shelf.weights, [key]: weights } });
  }

  close(): void {
    this.#service?.close();
    this.#service = null;
    this.#opened = null;
  }

  /** Looks at the shelf again after something else wrote it. */
  async reread(): Promise<void> {
    const asked = this.#opened !== null;
    this.close();
    this.problem = null;
    if (asked) await this.open();
  }

  async #open(): Promise<InUse | null> {
    this.opening = true;
    try {
      this.shelf = await readShelf(this.#parts.store);
      const chosen = this.shelf.inUse;
      if (chosen !== null) {
        try {
          return await this.#openKept(chosen);
        } catch (error) {
          // The choice stays as it was made: what is wrong may be gone with another version.
          this.problem = asRefusal(error);
        }
      }
      return await this.#openKept(null);
    } catch (error) {
      this.problem ??= asRefusal(error);
      return null;
    } finally {
      this.opening = false;
    }
  }

  async #openKept(digest: string | null): Promise<InUse> {
    const { file, about } = await this.#read(digest);
    return this.#use(await this.#asking().open(file), file, about, this.problem);
  }

  async #read(digest: string | null): Promise<{ file: Uint8Array<ArrayBuffer>; about: About }> {
    if (digest === null) {
      const file = await this.#parts.shipped();
      // It learnt from rendered images only, so from no break of any bench.
      return { file, about: { digest: await sha256Hex(file), from: "shipped", learntFrom: [] } };
    }
    const kept = await readKept(this.#parts.store, digest);
    if (kept === null || (await sha256Hex(kept.file)) !== digest)
      throw new ClassifierError(
        "damaged-model",
        "The file of this model is no longer whole on this disk.",
        "Roll back to another model, or learn anew.",
      );
    const from = this.shelf.models.find((m) => m.digest === digest)?.from ?? "file";
    return { file: kept.file, about: { digest, from, learntFrom: kept.learntFrom } };
  }

  #use(
    opened: OpenedModel,
    file: Uint8Array<ArrayBuffer>,
    about: About,
    problem: ClassifierError | null = null,
  ): InUse {
    const inUse: InUse = { ...opened, ...about };
    this.#file = file;
    this.inUse = inUse;
    this.problem = problem;
    this.#opened = Promise.resolve(inUse);
    return inUse;
  }

  async #write(shelf: Shelf): Promise<void> {
    await writeShelf(this.#parts.store, shelf);
    this.shelf = shelf;
  }

  #line(kind: ShelfLine["kind"], digest: string | null, why: string): ShelfLine {
    return { kind, digest, by: this.#parts.reader(), at: this.#parts.now(), why };
  }

  #asking(): ModelService {
    return (this.#service ??= this.#parts.service());
  }
}

type About = Pick<InUse, "digest" | "from" | "learntFrom">;

const asRefusal = (error: unknown): ClassifierError =>
  error instanceof ClassifierError
    ? error
    : new ClassifierError("thread-failed", `The model could not be opened (${String(error)}).`, "Reload the page.");

/** One room for each application: the bench, the log and the screen of what was learnt ask the same model. */
const rooms = new WeakMap<App, ModelRoom>();

export function roomOf(app: App): ModelRoom {
  const known = rooms.get(app);
  if (known) return known;
  const room = new ModelRoom({
    store: app.bench,
    now: app.surroundings.now,
    reader: () => app.reader,
    shipped: shippedModel,
    service: createModelService,
  });
  rooms.set(app, room);
  return room;
}

/** A room of a test's own. */
export const setRoom = (app: App, room: ModelRoom): void => void rooms.set(app, room);
