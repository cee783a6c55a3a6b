import { getContext, setContext } from "svelte";
import { DEFAULT_LADDER, ladderFrom, type Ladder } from "../../model/reference/ladder.ts";
import type { IncomingFile } from "../intake/dropped-files.ts";
import type { BenchStore, BreakSummary, StoreError } from "../storage/contract.ts";
import { KeyBoardRoom } from "./keys.ts";
import { DEFAULT_PREFERENCES, type Preferences } from "./person.ts";
import { hashOf, placeOf, type Place } from "./route.ts";

export interface Message {
  readonly id: number;
  readonly kind: "says" | "needs";
  readonly text: string;
  readonly next?: string;
}

/** What the application needs from the outside world; joined in main.ts, replaced in tests. */
export interface Surroundings {
  readonly now: () => string;
  readonly newId: () => string;
  /** Database of derived numbers; a test brings its own. */
  readonly numbersName?: string;
}

/** The application: the store, where the person is, and what it has to say. Break records live in `Bench`. */
export class App {
  readonly keys = new KeyBoardRoom();
  readonly surroundings: Surroundings;
  store = $state.raw<BenchStore | null>(null);
  storeProblem = $state.raw<StoreError | null>(null);
  mode = $state<"writer" | "reader">("writer");
  place = $state.raw<Place>({ screen: "log" });
  preferences = $state.raw<Preferences>(DEFAULT_PREFERENCES);
  /** What this lab means by confirmed. */
  ladder = $state.raw<Ladder>(DEFAULT_LADDER);
  /** Goes up when the lab's settings on the disk were written by something else than their screens. */
  settingsRead = $state(0);
  summaries = $state.raw<readonly BreakSummary[]>([]);
  summariesLoaded = $state(false);
  messages = $state.raw<readonly Message[]>([]);
  keysShown = $state(false);
  /** Files dropped or pasted anywhere, waiting for the intake screen. */
  droppedFiles = $state.raw<readonly IncomingFile[]>([]);
  #lastMessage = 0;

  constructor(surroundings: Surroundings) {
    this.surroundings = surroundings;
  }

  /** The open store. @throws when the store is not open; screens are shown only once it is. */
  get bench(): BenchStore {
    if (this.store === null) throw new Error("The bench is not open yet.");
    return this.store;
  }

  get reader(): string {
    return this.preferences.reader.trim() || "reader not named";
  }

  go(place: Place): void {
    const hash = hashOf(place);
    if (location.hash === hash) this.place = place;
    else location.hash = hash;
  }

  followAddress(): void {
    this.place = placeOf(location.hash);
  }

  say(text: string): void {
    this.#add({ kind: "says", text });
  }

  /** Something the person should know and act on; stays until it is put away. */
  need(text: string, next?: string): void {
    this.#add({ kind: "needs", text, ...(next === undefined ? {} : { next }) });
  }

  report(error: unknown): void {
    if (error instanceof Error) {
      const next = "next" in error && typeof error.next === "string" ? error.next : undefined;
      this.need(error.message, next);
      return;
    }
    this.need(String(error));
  }

  putAway(id: number): void {
    this.messages = this.messages.filter((m) => m.id !== id);
  }

  async attach(store: BenchStore): Promise<void> {
    this.store = store;
    this.mode = store.mode;
    const kept = await store.getSetting<Preferences>("preferences");
    if (kept) this.preferences = { ...DEFAULT_PREFERENCES, ...kept };
    this.ladder = ladderFrom(await store.getSetting("ladder"));
    await this.refreshSummaries();
    const { recovered } = store;
    if (recovered !== null && recovered.breaks > 0)
      this.need(
        `The browser had thrown its database away. ${recovered.breaks} breaks with ${recovered.entries} edits were had back from the second copy.`,
        recovered.damaged === 0
          ? "Nothing acknowledged is missing. Save the bench file all the same."
          : "A stretch of the copy could not be read: look at the breaks you edited last, and save the bench file.",
      );
    else if (recovered !== null && recovered.damaged > 0)
      this.need(
        "Part of the second copy on this disk cannot be read.",
        "The bench itself is whole. Save the bench file to another disk.",
      );
  }

  async refreshSummaries(): Promise<void> {
    this.summaries = await this.bench.summaries();
    this.summariesLoaded = true;
  }

  /** Puts fresh summaries in place of the old ones without reading the whole list again. */
  noteSummaries(fresh: readonly BreakSummary[]): void {
    const byId = new Map(fresh.map((s) => [s.id, s]));
    const kept = this.summaries.map((s) => byId.get(s.id) ?? s);
    const known = new Set(kept.map((s) => s.id));
    this.summaries = [...fresh.filter((s) => !known.has(s.id)), ...kept];
  }

  async prefer(patch: Partial<Preferences>): Promise<void> {
    this.preferences = { ...this.preferences, ...patch };
    await this.bench.setSetting("preferences", this.preferences);
  }

  /** Reads the lab's settings again that something else wrote. @throws StoreError */
  async rereadSettings(): Promise<void> {
    this.ladder = ladderFrom(await this.bench.getSetting("ladder"));
    this.settingsRead += 1;
  }

  /** @throws StoreError when it cannot be written; the ladder stays as it was then. */
  async setLadder(ladder: Ladder): Promise<void> {
    await this.bench.setSetting("ladder", ladder);
    this.ladder = ladder;
  }

  #add(message: Omit<Message, "id">): void {
    this.#lastMessage += 1;
    const id = this.#lastMessage;
    this.messages = [...this.messages.filter((m) => m.text !== message.text), { ...message, id }].slice(-4);
    if (message.kind === "says") setTimeout(() => this.putAway(id), 6000);
  }
}

const KEY = Symbol("app");
export const provideApp = (app: App): App => setContext(KEY, app);
export const useApp = (): App => getContext<App>(KEY);
