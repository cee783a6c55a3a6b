import { type ConfirmationMeans } from "../../../model/break/wire-break.ts";
import type { ViewId } from "../../../model/evidence/features.ts";
import { DEFAULT_LADDER, faultsOfLadder, MOST_LEVELS, type Ladder } from "../../../model/reference/ladder.ts";
import type { ConfirmationLevel } from "../../../model/reference/levels.ts";
import type { App } from "../app.svelte.ts";

/** The lab's ladder while it is changed; nothing counts until it is kept. */
export class LadderDraft {
  levels = $state.raw<readonly ConfirmationLevel[]>([]);
  least = $state.raw<string | null>(null);
  faults = $state.raw<readonly string[]>([]);
  readonly #app: App;

  constructor(app: App) {
    this.#app = app;
    this.start(app.ladder);
  }

  start({ levels, least }: Ladder): void {
    this.levels = levels;
    this.least = least;
    this.faults = [];
  }

  readonly changed = $derived.by(
    () =>
      JSON.stringify([this.levels, this.least]) !== JSON.stringify([this.#app.ladder.levels, this.#app.ladder.least]),
  );
  readonly full = $derived.by(() => this.levels.length >= MOST_LEVELS);

  set(id: string, patch: Partial<Omit<ConfirmationLevel, "id">>): void {
    this.levels = this.levels.map((level) => (level.id === id ? { ...level, ...patch } : level));
  }

  add(): void {
    const id = this.#app.surroundings.newId();
    this.levels = [...this.levels, { id, name: "", means: [], bothEndsSeen: true, views: [], secondReader: false }];
  }

  /** A level taken off keeps its place in the confirmations that carry it. */
  remove(id: string): void {
    this.levels = this.levels.filter((level) => level.id !== id);
    if (this.least === id) this.least = null;
  }

  /** @param by – −1 = lower, 1 = higher. */
  move(id: string, by: -1 | 1): void {
    const at = this.levels.findIndex((level) => level.id === id);
    const to = at + by;
    if (at < 0 || to < 0 || to >= this.levels.length) return;
    const list = [...this.levels];
    [list[at], list[to]] = [list[to]!, list[at]!];
    this.levels = list;
  }

  addGroup({ id, means }: ConfirmationLevel): void {
    this.set(id, { means: [...means, []] });
  }

  removeGroup({ id, means }: ConfirmationLevel, group: number): void {
    this.set(id, { means: means.filter((_, i) => i !== group) });
  }

  toggle({ id, means }: ConfirmationLevel, group: number, one: ConfirmationMeans): void {
    this.set(id, { means: means.map((list, i) => (i === group ? toggled(list, one) : list)) });
  }

  toggleView({ id, views }: ConfirmationLevel, view: ViewId): void {
    this.set(id, { views: toggled(views, view) });
  }

  async keep(): Promise<boolean> {
    const ladder = { levels: this.levels.map((level) => ({ ...level, name: level.name.trim() })), least: this.least };
    this.faults = faultsOfLadder(ladder);
    if (this.faults.length > 0) return false;
    try {
      await this.#app.setLadder(ladder);
    } catch (error) {
      this.#app.report(error);
      return false;
    }
    this.start(ladder);
    return true;
  }

  restore(): void {
    this.start(DEFAULT_LADDER);
  }
}

const toggled = <T>(list: readonly T[], one: T): readonly T[] =>
  list.includes(one) ? list.filter((other) => other !== one) : [...list, one];
