import { caseIdOf } from "../../model/reference/export/set-names.ts";
import { exactDuplicates, findLeaks, type Leak } from "../../model/reference/leaks.ts";
import type { Ladder } from "../../model/reference/ladder.ts";
import type { Split } from "../../model/reference/member.ts";
import { isVersion } from "../../model/reference/set-version.ts";
import {
  type Draft,
  type FrozenVersion,
  keptParts,
  latestOf,
  planOfParts,
  sinceFrozen,
  testGroupsOf,
  whyNotNumber,
} from "../../model/reference/set-version-frozen.ts";
import { assignSplits, type SplitPlan, type Splits } from "../../model/reference/splits.ts";
import { LongTask } from "../log/long-task.svelte.ts";
import type { App } from "../shell/app.svelte.ts";
import type { BreakSummary } from "../storage/contract.ts";
import { createSetPictures } from "../workers/set-pictures-client.ts";
import { wasStopped } from "./was-stopped.ts";
import { loadMembers } from "./load-members.ts";
import { findLookAlikes, knownLookAlikes, type LookAlikes } from "./look-alikes.ts";
import { asMembers, isLetIn, type MemberRow } from "./member-row.ts";
import { SetCache } from "./set-cache.ts";
import { FRESH_SETTINGS, type GivenAway, readSetSettings, type SetSettings, writeSetSettings } from "./set-settings.ts";
import { keepVersion, readVersions } from "./version-shelf.ts";

const NO_PARTS: Splits = { of: new Map(), conflicts: [] };

/** The reference set of this bench: who is in it, what it covers, its versions. Outlives the screen. */
export class ReferenceSet {
  readonly app: App;
  readonly task = new LongTask();
  readonly cache: SetCache;
  settings = $state.raw<SetSettings>(FRESH_SETTINGS);
  versions = $state.raw<readonly FrozenVersion[]>([]);
  /** Every confirmed break; null = not read yet. */
  rows = $state.raw<readonly MemberRow[] | null>(null);
  /** Among all confirmed breaks, so that leaving one out changes nothing; null = not looked for yet. */
  lookAlikes = $state.raw<LookAlikes | null>(null);
  #lastWrite: Promise<void> = Promise.resolve();
  #readFor: { readonly summaries: readonly BreakSummary[]; readonly ladder: Ladder } | null = null;
  /** As what the settings were last read: a tab that only reads may find them changed by the one that writes. */
  #readAs: App["mode"] | null = null;
  #readSettings = 0;

  readonly last = $derived(latestOf(this.versions));
  readonly included = $derived.by(() => {
    const out = new Set(this.settings.leftOut.map(({ breakId }) => breakId));
    return (this.rows ?? []).filter(
      (row) => isLetIn(row, this.settings.level, this.app.ladder.levels) && !out.has(row.member.id),
    );
  });
  readonly members = $derived(this.included.map(({ member }) => member));
  /** Parts that any version gave, the latest counting most: nothing that was once in a part moves. */
  readonly kept = $derived.by(() => {
    const kept = new Map<string, Split>();
    for (const version of this.versions)
      for (const [id, split] of keptParts(version, this.members)) kept.set(id, split);
    return kept;
  });
  readonly #assigned = $derived.by((): { readonly parts: Splits; readonly problem: string | null } => {
    try {
      const plan = planOfParts(this.settings.plan, this.last);
      return { parts: assignSplits(this.members, plan, this.kept), problem: null };
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      return { parts: NO_PARTS, problem: error.message };
    }
  });
  readonly parts = $derived(this.#assigned.parts);
  /** Why the plan gives no parts, in words. */
  readonly planProblem = $derived(this.#assigned.problem);
  readonly numberOf = $derived(new Map(this.members.map(({ id, number }) => [id, number])));

  /** Photographs of two breaks of the set that look like one, less those that a person called different. */
  readonly alike = $derived.by(() => {
    const apart = new Set(this.settings.apart.map(({ hashes }) => [...hashes].sort().join(" ")));
    return (this.lookAlikes?.pairs ?? []).filter(
      ({ hashes, breakIds }) =>
        breakIds.every((id) => this.numberOf.has(id)) && !apart.has([...hashes].sort().join(" ")),
    );
  });
  readonly exact = $derived(exactDuplicates(this.members));
  readonly leaks = $derived.by((): readonly Leak[] =>
    this.planProblem === null ? findLeaks(this.members, this.parts.of, this.settings.plan.groupBy, this.alike) : [],
  );
  readonly draft = $derived.by((): Draft => ({
    name: this.settings.given.name,
    plan: this.settings.plan,
    level: this.settings.level,
    members: this.planProblem === null ? asMembers(this.included, this.parts.of) : [],
    revisions: this.included.map(({ revision }) => revision),
  }));
  readonly since = $derived(sinceFrozen(this.last, this.draft));

  constructor(app: App) {
    this.app = app;
    const { numbersName } = app.surroundings;
    this.cache = new SetCache(numbersName === undefined ? "endpair-set" : `${numbersName}-set`);
  }

  get writing(): boolean {
    return this.app.mode === "writer";
  }

  /** Reads settings and versions, and the breaks wherever they changed since the last visit. */
  async refresh(): Promise<void> {
    const { app } = this;
    if (this.#readAs !== "writer" || this.#readSettings !== app.settingsRead) {
      const { mode, settingsRead } = app;
      [this.settings, this.versions] = await Promise.all([readSetSettings(app.bench), readVersions(app.bench)]);
      this.#readAs = mode;
      this.#readSettings = settingsRead;
    }
    const same = this.#readFor?.summaries === app.summaries && this.#readFor.ladder === app.ladder;
    if (same || this.task.running) return;
    await this.read();
  }

  async read(): Promise<void> {
    const { app } = this;
    const { summaries, ladder } = app;
    this.#readFor = { summaries, ladder };
    try {
      const rows = await this.task.run("Reading the confirmed breaks", (work) =>
        loadMembers(app.bench, summaries, ladder.levels, this.cache, work),
      );
      if (rows === null) return;
      this.lookAlikes = await knownLookAlikes(
        rows.map(({ member }) => member),
        this.cache,
      );
      this.rows = rows;
    } catch (error) {
      if (!wasStopped(error)) throw error;
      app.say("Stopped. The breaks read so far are kept; reading goes on from there.");
    }
  }

  /** Compares all photographs of confirmed breaks. @returns whether all of them were. @throws StoreError, PictureError */
  async compare(): Promise<boolean> {
    if (this.lookAlikes !== null) return true;
    const members = (this.rows ?? []).map(({ member }) => member);
    const pictures = createSetPictures();
    try {
      const found = await this.task.run("Looking for photographs that are there twice", (work) =>
        findLookAlikes(this.app.bench, members, this.cache, pictures, work),
      );
      if (found !== null) this.lookAlikes = found;
      return found !== null;
    } catch (error) {
      if (!wasStopped(error)) throw error;
      this.app.say("Stopped. The photographs made ready so far are kept; comparing goes on from there.");
      return false;
    } finally {
      pictures.close();
    }
  }

  /**
   * Writes first, shows then: what the screen says is on the disk. Changes made at once are written one after the
   * other, each on top of the one before.
   *
   * @throws StoreError
   */
  set(patch: Partial<SetSettings> | ((now: SetSettings) => Partial<SetSettings>)): Promise<void> {
    const write = async (): Promise<void> => {
      const next = { ...this.settings, ...(typeof patch === "function" ? patch(this.settings) : patch) };
      await writeSetSettings(this.app.bench, next);
      this.settings = next;
    };
    const written = this.#lastWrite.then(write, write);
    this.#lastWrite = written;
    return written;
  }

  plan(patch: Partial<SplitPlan>): Promise<void> {
    return this.set(({ plan }) => ({ plan: { ...plan, ...patch } }));
  }

  give(patch: Partial<GivenAway>): Promise<void> {
    return this.set(({ given }) => ({ given: { ...given, ...patch } }));
  }

  /** Takes a break out of the set; it stays confirmed and on the bench. @throws StoreError */
  async leaveOut(breakId: string, reason: string): Promise<void> {
    const number = this.rows?.find(({ member }) => member.id === breakId)?.member.number ?? breakId;
    const { now } = this.app.surroundings;
    const line = { breakId, number, reason: reason.trim(), by: this.app.reader, at: now() };
    await this.set(({ leftOut }) => ({ leftOut: [...leftOut.filter((l) => l.breakId !== breakId), line] }));
  }

  takeBack(breakId: string): Promise<void> {
    return this.set(({ leftOut }) => ({ leftOut: leftOut.filter((line) => line.breakId !== breakId) }));
  }

  /** A person looked and says that the two show different things. @throws StoreError */
  async judgeApart(hashes: readonly [string, string], reason: string): Promise<void> {
    const { now } = this.app.surroundings;
    const line = { hashes, reason: reason.trim(), by: this.app.reader, at: now() };
    await this.set(({ apart }) => ({ apart: [...apart, line] }));
  }

  /** Everything that keeps the set as it is now from being frozen or given away, in words; empty = nothing. */
  readonly obstacles = $derived.by((): readonly string[] => [
    ...(this.planProblem === null ? [] : [this.planProblem]),
    ...(this.members.length === 0 ? ["No break is in the set. Only confirmed breaks go into it: confirm some."] : []),
    ...this.parts.conflicts.map(({ says }) => says),
    ...this.leaks.map(({ says }) => says),
  ]);

  /** Why this number and person cannot stand under the next version; null = they can. */
  whyNot(version: string, by: string): string | null {
    if (!this.since.changed) return `Nothing changed since ${this.last?.version ?? ""}: there is nothing to freeze.`;
    if (by.trim() === "") return "Say who freezes it: a version names its author.";
    return whyNotNumber(version.trim(), this.versions, this.since.proposed);
  }

  /**
   * Freezes the set as it is now, after every photograph was compared.
   *
   * @returns the version; null when something keeps it from being frozen: it is on the screen.
   * @throws StoreError, VersionError
   */
  async freeze(version: string, by: string, note: string): Promise<FrozenVersion | null> {
    if (!(await this.compare())) return null;
    if (this.obstacles.length > 0 || this.whyNot(version, by) !== null || !isVersion(version.trim())) return null;
    const at = this.app.surroundings.now();
    const reasons = new Map(this.settings.leftOut.map(({ breakId, reason }) => [breakId, reason]));
    const frozen: FrozenVersion = {
      ...this.draft,
      version: version.trim(),
      date: at.slice(0, 10),
      by: by.trim(),
      at,
      note: note.trim(),
      testGroups: testGroupsOf(this.members, this.parts.of, this.settings.plan),
      leftOut: (this.rows ?? []).flatMap(({ member: { id, number } }) => {
        const reason = reasons.get(id);
        return reason === undefined ? [] : [{ number, reason }];
      }),
    };
    try {
      await keepVersion(this.app.bench, frozen);
    } finally {
      this.versions = await readVersions(this.app.bench);
    }
    this.app.say(`Version ${frozen.version} is frozen.`);
    return frozen;
  }

  /** Identifier of a break on this bench by the name it has in a version; null = not confirmed here. */
  idOf(caseId: string): string | null {
    return (this.rows ?? []).find(({ member }) => caseIdOf(member.id) === caseId)?.member.id ?? null;
  }
}

const all = new WeakMap<App, ReferenceSet>();

/** One for each application, so that long work goes on while another screen is open. */
export function referenceSetOf(app: App): ReferenceSet {
  const known = all.get(app);
  if (known) return known;
  const set = new ReferenceSet(app);
  all.set(app, set);
  return set;
}
