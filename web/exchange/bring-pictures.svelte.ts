import { applyEdit, type Edit } from "../../model/break/edits.ts";
import { newBreak } from "../../model/break/new-break.ts";
import type { CameWith } from "../../model/break/wire-break.ts";
import type { FeatureId } from "../../model/evidence/features.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { type CocoImport, type ImportedPicture, sizeFault } from "../../model/reference/import/coco.ts";
import {
  filePictures,
  groupFault,
  type Grouping,
  groupingWords,
  groupPictures,
  type PictureGroup,
} from "../../model/reference/import/coco-breaks.ts";
import { createIntake, type IncomingPhotograph } from "../intake/intake-service.ts";
import type { LongTask } from "../log/long-task.svelte.ts";
import { wasStopped } from "../reference/was-stopped.ts";
import type { App } from "../shell/app.svelte.ts";
import { BenchFileError } from "../storage/bench-file-error.ts";
import type { LongWork, NewLogEntry, NewOriginal } from "../storage/contract.ts";
import { freeNumber } from "../storage/import-bench.ts";
import { summarise } from "../storage/summary.ts";
import { createImportClient } from "../workers/import-client.ts";
import { createPictureClient } from "../workers/client.ts";
import type { ExchangeReport } from "./exchange-log.ts";
import { faultWords, finderOf, type Gathered, gatheredFrom, isJsonPath, isPicturePath } from "./gathered-files.ts";

/** A picture of the file that was found, read and hashed. */
interface ReadPicture {
  readonly file: Gathered;
  readonly photograph: IncomingPhotograph;
  /** A break here has this photograph already. */
  readonly here: boolean;
}
export interface PictureFault {
  readonly where: string;
  readonly says: string;
}
interface Trial {
  readonly fileName: string;
  readonly texts: readonly string[];
  readonly pictures: ReadonlyMap<string, ReadPicture>;
  /** Pictures that are not there or cannot be read, and files that are none. */
  readonly faults: readonly PictureFault[];
}
/** A break that would come: its pictures, each found and of the right size. */
export interface PlannedBreak extends PictureGroup {
  readonly marks: number;
}

export const LEAVE_OUT = "leave-out";

/** Marks of a COCO file on their way onto photographs, which come in as breaks. */
export class BringPictures {
  trial = $state.raw<Trial | null>(null);
  content = $state.raw<CocoImport | null>(null);
  /** What each category stands for; the person says it. */
  meaning = $state.raw<Readonly<Record<string, FeatureId | typeof LEAVE_OUT>>>({});
  grouping = $state.raw<Grouping>({ by: "picture" });
  refused = $state.raw<PictureFault | null>(null);
  done = $state.raw<ExchangeReport | null>(null);
  readonly #app: App;
  readonly #task: LongTask;
  readonly #note: (report: ExchangeReport) => Promise<void>;

  constructor(app: App, task: LongTask, note: (report: ExchangeReport) => Promise<void>) {
    this.#app = app;
    this.#task = task;
    this.#note = note;
  }

  readonly words = $derived(groupingWords(this.content?.pictures ?? []));
  /** Pictures that can come in: there, whole, of the size their marks were drawn on, not on this bench already. */
  readonly usable = $derived.by((): readonly ImportedPicture[] => {
    const { trial, content } = this;
    if (trial === null || content === null) return [];
    return content.pictures.filter((picture) => {
      const read = trial.pictures.get(picture.fileName);
      return read !== undefined && !read.here && sizeFault(picture, read.photograph) === null;
    });
  });
  readonly groups = $derived(groupPictures(this.usable, this.grouping));
  readonly planned = $derived.by((): readonly PlannedBreak[] =>
    this.groups
      .filter((group) => groupFault(group) === null)
      .map((group) => ({ ...group, marks: group.pictures.reduce((sum, { marks }) => sum + marks.length, 0) })),
  );
  readonly marks = $derived(this.planned.reduce((sum, { marks }) => sum + marks, 0));
  readonly here = $derived([...(this.trial?.pictures.values() ?? [])].filter(({ here }) => here).length);
  readonly faults = $derived.by((): readonly PictureFault[] => {
    const { trial, content } = this;
    if (trial === null || content === null) return [];
    const sizes = content.pictures.flatMap((picture): PictureFault[] => {
      const read = trial.pictures.get(picture.fileName);
      const says = read === undefined ? null : sizeFault(picture, read.photograph);
      return says === null ? [] : [{ where: picture.fileName, says }];
    });
    const groups = this.groups.flatMap((group): PictureFault[] => {
      const says = groupFault(group);
      return says === null ? [] : [{ where: group.number, says }];
    });
    return [...trial.faults, ...sizes, ...groups, ...content.faults];
  });
  /** Categories nobody has said anything about yet. */
  readonly open = $derived(
    (this.content?.categories ?? []).filter(
      ({ name, feature }) => feature === null && !Object.hasOwn(this.meaning, name),
    ),
  );

  putAway(): void {
    this.trial = null;
    this.content = null;
    this.meaning = {};
    this.refused = null;
    this.done = null;
  }

  /** Reads files of marks and finds, reads and hashes their pictures; nothing is written. */
  async look(files: readonly File[]): Promise<void> {
    if (files.length === 0) return;
    this.putAway();
    try {
      await this.#task.run("Looking at marks and pictures", (work) => this.#look(files, work));
    } catch (error) {
      this.putAway();
      if (wasStopped(error)) this.#app.say("Stopped. Nothing was brought in.");
      else if (error instanceof BenchFileError)
        this.refused = { where: files[0]?.name ?? "", says: `${error.message} ${error.next}` };
      else throw error;
    }
  }

  async #look(files: readonly File[], work: LongWork): Promise<void> {
    const gathered = await gatheredFrom(files, work.signal);
    const texts: string[] = [];
    const names: string[] = [];
    const says: PictureFault[] = [];
    for (const file of gathered.filter(({ path }) => isJsonPath(path))) {
      const text = await (await file.open(work.signal)).text();
      const read = await this.#read(text, {}, work.signal);
      if (read.ok) {
        texts.push(text);
        names.push(file.path.split("/").at(-1) ?? file.path);
      } else says.push({ where: file.path, says: read.says });
    }
    if (texts.length === 0) {
      const nothing = { where: files[0]?.name ?? "", says: "There is no COCO file (.json) among these files." };
      this.refused = says[0] ?? nothing;
      return;
    }
    const content = await this.#merged(texts, {}, work.signal);
    const found = await this.#readPictures(content.pictures, gathered, work);
    this.trial = { fileName: names.join(", "), texts, ...found };
    this.content = content;
    const [word] = groupingWords(content.pictures);
    this.grouping = word === "case_id" ? { by: "word", key: word } : { by: "picture" };
  }

  async #readPictures(
    pictures: readonly ImportedPicture[],
    gathered: readonly Gathered[],
    work: LongWork,
  ): Promise<Pick<Trial, "pictures" | "faults">> {
    const find = finderOf(gathered.filter(({ path }) => isPicturePath(path)));
    const read = new Map<string, ReadPicture>();
    const faults: PictureFault[] = [];
    const client = createPictureClient();
    try {
      for (const [i, { fileName }] of pictures.entries()) {
        const file = find(fileName);
        if (file === null) faults.push({ where: fileName, says: "The picture is not among the files chosen." });
        else
          try {
            const blob = await file.open(work.signal);
            const { hash, mediaType, byteLength, widthPx, heightPx, orientation, capturedAt, pages } =
              await client.inspect(blob, work.signal);
            const name = fileName.split("/").at(-1) ?? fileName;
            const plain = { hash, fileName: name, mediaType, byteLength, widthPx, heightPx, orientation, capturedAt };
            const here = (await this.#app.bench.known([hash])).has(hash);
            read.set(fileName, { file, here, photograph: pages > 1 ? { ...plain, page: 0 } : plain });
          } catch (error) {
            if (wasStopped(error)) throw error;
            faults.push({ where: fileName, says: faultWords(error) });
          }
        work.onProgress?.({ done: i + 1, total: pictures.length, what: "pictures looked at" });
      }
    } finally {
      client.close();
    }
    return { pictures: read, faults };
  }

  /** What a category stands for; the marks are read again with it. */
  async mean(name: string, feature: FeatureId | typeof LEAVE_OUT | null): Promise<void> {
    const others = Object.entries(this.meaning).filter(([one]) => one !== name);
    this.meaning = Object.fromEntries(feature === null ? others : [...others, [name, feature]]);
    const features = Object.entries(this.meaning).filter(([, one]) => one !== LEAVE_OUT);
    if (this.trial === null) return;
    this.content = await this.#merged(this.trial.texts, Object.fromEntries(features) as Record<string, FeatureId>);
  }

  async #read(text: string, meaning: Readonly<Record<string, FeatureId>>, signal?: AbortSignal) {
    const client = createImportClient();
    try {
      return await client.request("coco", { text, meaning }, { signal });
    } finally {
      client.close();
    }
  }

  /** Several files of marks in one, as a set has one for each of its parts. */
  async #merged(
    texts: readonly string[],
    meaning: Readonly<Record<string, FeatureId>>,
    signal?: AbortSignal,
  ): Promise<CocoImport> {
    const all: CocoImport[] = [];
    for (const text of texts) {
      const read = await this.#read(text, meaning, signal);
      if (read.ok) all.push(read.value);
    }
    const counts = new Map<string, CocoImport["categories"][number]>();
    for (const one of all.flatMap(({ categories }) => categories))
      counts.set(one.name, { ...one, marks: one.marks + (counts.get(one.name)?.marks ?? 0) });
    return {
      about: all[0]?.about ?? { name: "", version: "", creator: "", licence: "" },
      categories: [...counts.values()],
      pictures: all.flatMap(({ pictures }) => pictures),
      unknown: all.flatMap(({ unknown }) => unknown),
      faults: all.flatMap(({ faults }) => faults),
    };
  }

  /** One break after the other, each whole on the disk before the next begins. */
  async bringIn(): Promise<void> {
    const { trial, content, planned } = this;
    if (trial === null || content === null || planned.length === 0) return;
    const breaks: { id: string; number: string; fate: string; pictures: number; marks: number }[] = [];
    try {
      await this.#task.run("Bringing pictures in", async (work) => {
        const { about } = content;
        const orNull = (words: string): string | null => (words === "" ? null : words);
        const source: CameWith = {
          kind: "pictures",
          name: about.name === "" ? trial.fileName : about.name,
          version: orNull(about.version.slice(0, 100)),
          licence: orNull(about.licence),
          creator: orNull(about.creator),
          sha256: null,
          by: this.#app.reader,
          at: this.#app.surroundings.now(),
        };
        for (const [i, group] of planned.entries()) {
          work.signal.throwIfAborted();
          breaks.push(await this.#bringOne(group, trial, source, work));
          work.onProgress?.({ done: i + 1, total: planned.length, what: "breaks" });
        }
      });
    } catch (error) {
      if (!wasStopped(error)) throw error;
      this.#app.say("Stopped. Breaks already brought in are whole and stay; the same files go on from there.");
    } finally {
      if (breaks.length > 0) await this.#conclude(trial, content, breaks);
    }
  }

  async #bringOne(group: PlannedBreak, trial: Trial, source: CameWith, work: LongWork) {
    const { bench, surroundings, reader: by, summaries } = this.#app;
    const { newId } = surroundings;
    const { at } = source;
    const { photographs, originals } = await this.#copied(group, trial, work.signal);
    const numbers = new Set(summaries.map((summary) => summary.number));
    const number = numbers.has(group.number) ? freeNumber(group.number, numbers) : group.number;
    const found = group.pictures.map((picture) => ({ picture, photograph: photographs.get(picture.fileName)! }));
    const filed = filePictures(found, { newId, by, at });
    const edit: Edit = { kind: "together", edits: [filed, { kind: "set-came-with", list: [source] }] };
    const { next, inverse } = applyEdit(newBreak(newId(), number, at), edit, at);
    const { id, revision } = next;
    const entry: NewLogEntry = { breakId: id, revision, edit, inverse, origin: "import", of: null, by, at };
    const summary = summarise(next, suggest(observe(next)).verdict);
    await bench.commit({ entries: [entry], records: [{ record: next, summary }], originals });
    this.#app.noteSummaries([summary]);
    return { id, number, fate: "added", pictures: found.length, marks: group.marks };
  }

  /** Read once more, as any photograph is taken in: hashed, and small copies made. */
  async #copied({ pictures }: PlannedBreak, trial: Trial, signal: AbortSignal | undefined) {
    const client = createPictureClient();
    const intake = createIntake({ store: this.#app.bench, pictures: client });
    const photographs = new Map<string, IncomingPhotograph>();
    const originals: NewOriginal[] = [];
    try {
      const files: File[] = [];
      for (const { fileName } of pictures) {
        const { file, photograph } = trial.pictures.get(fileName)!;
        files.push(new File([await file.open(signal)], photograph.fileName, { type: photograph.mediaType }));
      }
      const incoming = files.map((file) => ({ file, relativePath: file.name }));
      let i = 0;
      for await (const result of intake.take(incoming, signal ? { signal } : {})) {
        const { fileName } = pictures[i++]!;
        if (result.status === "refused") throw result.error;
        photographs.set(fileName, result.photograph);
        if (result.status === "ready") originals.push(result.original);
      }
      if (signal?.aborted) throw new PictureError("cancelled", "Bringing pictures in was cancelled.");
    } finally {
      client.close();
    }
    return { photographs, originals };
  }

  async #conclude(
    trial: Trial,
    { about }: CocoImport,
    breaks: readonly { id: string; number: string; fate: string; pictures: number; marks: number }[],
  ): Promise<void> {
    const sum = (key: "pictures" | "marks") => breaks.reduce((total, one) => total + one[key], 0);
    const report: ExchangeReport = {
      at: this.#app.surroundings.now(),
      by: this.#app.reader,
      kind: "pictures",
      what: about.name === "" ? trial.fileName : about.name,
      version: about.version === "" ? null : about.version,
      licence: about.licence === "" ? null : about.licence,
      creator: about.creator === "" ? null : about.creator,
      lines: [
        breaks.length === 1 ? "1 break added" : `${breaks.length} breaks added`,
        `${sum("pictures")} photographs`,
        `${sum("marks")} marks in place`,
      ],
      breaks: breaks.map(({ id, number, fate }) => ({ id, number, fate })),
    };
    this.putAway();
    this.done = report;
    await this.#note(report);
  }
}
