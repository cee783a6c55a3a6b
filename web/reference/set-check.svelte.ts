import { LongTask } from "../log/long-task.svelte.ts";
import type { App } from "../shell/app.svelte.ts";
import { type CheckedSet, checkInThread } from "../workers/set-check-client.ts";
import { wasStopped } from "./was-stopped.ts";

/** Faults of one file of the set. */
export interface FaultsOfFile {
  readonly file: string;
  readonly faults: readonly { readonly where: string; readonly says: string }[];
}

/** Checking of a set file. Outlives the screen. */
export class SetCheck {
  readonly task = new LongTask();
  /** Name of the file that was checked last, or is being checked. */
  fileName = $state("");
  result = $state.raw<CheckedSet | null>(null);
  /** Why the file could not be opened as a set at all. */
  refused = $state<string | null>(null);
  readonly #app: App;

  constructor(app: App) {
    this.#app = app;
  }

  readonly byFile = $derived.by((): readonly FaultsOfFile[] => {
    const files = new Map<string, { where: string; says: string }[]>();
    for (const { where, says } of this.result?.list ?? []) {
      const [file = where] = where.split(/,? /, 1);
      const rest = where.slice(file.length).replace(/^,? /, "");
      files.set(file, [...(files.get(file) ?? []), { where: rest, says }]);
    }
    return [...files].map(([file, faults]) => ({ file, faults }));
  });

  /** @throws PictureError when the file can no longer be read. */
  async check(file: File): Promise<void> {
    if (this.task.running) return;
    this.fileName = file.name;
    this.result = null;
    this.refused = null;
    const { numbersName } = this.#app.surroundings;
    try {
      const found = await this.task.run(`Checking ${file.name}`, ({ signal, onProgress }) =>
        checkInThread(
          { file, progressName: `${numbersName ?? "endpair"}-set-check` },
          {
            signal,
            onPart: (part) => onProgress?.({ done: Math.round(1000 * part) / 10, total: 100, what: "% of the files" }),
          },
        ),
      );
      if (found === null) return;
      if ("noZip" in found) this.refused = `${file.name} cannot be checked: ${found.noZip}.`;
      else this.result = found;
    } catch (error) {
      if (!wasStopped(error)) throw error;
      this.#app.say("Stopped. Choose the same file again and the check goes on from there.");
    }
  }
}

const all = new WeakMap<App, SetCheck>();

/** One for each application, so that a check goes on while another screen is open. */
export function setCheckOf(app: App): SetCheck {
  const known = all.get(app);
  if (known) return known;
  const check = new SetCheck(app);
  all.set(app, check);
  return check;
}
