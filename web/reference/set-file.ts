import type { ConfirmationLevel } from "../../model/reference/levels.ts";
import { CROP_PX, isCropPx } from "../../model/reference/export/crops.ts";
import type { SetOptions } from "../../model/reference/export/set-options.ts";
import type { FrozenVersion } from "../../model/reference/set-version-frozen.ts";
import { breakFile } from "../storage/bench-file-format.ts";
import { openFileTarget } from "../shell/settings/file-target.ts";
import { type WrittenSet, writeSetInThread } from "../workers/set-export-client.ts";
import type { ReferenceSet } from "./reference-set.svelte.ts";
import { type GivenAway, peopleSeed } from "./set-settings.ts";
import { wasStopped } from "./was-stopped.ts";

/** Why a set was not written. */
export class SetFileError extends Error {
  readonly code = "set-not-written";

  constructor(
    message: string,
    readonly next: string,
  ) {
    super(message);
    this.name = "SetFileError";
  }
}

/** Name that every disk takes: "wire-breaks-1.0.0.zip". */
export const setFileName = (name: string, version: string): string =>
  `${
    name
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, "-")
      .replace(/^-+|-+$/g, "") || "reference-set"
  }-${version}.zip`;

/** What is missing before a set can be given away; null = nothing. */
export function lackingWords({ name, creator, description, url, cropPx }: GivenAway): string | null {
  if (name.trim() === "") return "Give the set a name.";
  if (creator.trim() === "") return "Say which laboratory gives it away.";
  if (description.trim() === "") return "Describe the set in one sentence.";
  if (cropPx !== null && !isCropPx(cropPx))
    return `Crops take a whole number of pixels from ${CROP_PX.least} to ${CROP_PX.most}; ${CROP_PX.proposed} is a good start.`;
  return url.trim() === "" || isWebAddress(url.trim())
    ? null
    : "The address must begin with https:// or http://, or be left empty.";
}

function isWebAddress(url: string): boolean {
  const parsed = URL.canParse(url) ? new URL(url) : null;
  return parsed !== null && /^https?:$/.test(parsed.protocol) && /^[\x21-\x7e]+$/.test(url);
}

export function optionsOf(
  given: GivenAway,
  version: FrozenVersion,
  levels: readonly ConfirmationLevel[],
  seed: string,
): SetOptions {
  const { licence, metadata, withRecords, cropPx } = given;
  const [name, creator, description, url] = [given.name, given.creator, given.description, given.url].map((t) =>
    t.trim(),
  ) as [string, string, string, string];
  return {
    name,
    version: version.version,
    date: version.date,
    description,
    creator,
    // A set without an address still has a name that is an address by form.
    url: url === "" ? `urn:endpair:set:${encodeURIComponent(name)}:${version.version}` : url,
    licence,
    peopleSeed: seed,
    metadata,
    withRecords,
    crops: cropPx === null ? null : { pxPerDiameter: cropPx },
    plan: version.plan,
    levels,
    app: "Endpair",
  };
}

/**
 * Writes the latest version as a file, piece by piece. The set must be as it was frozen and must not leak.
 *
 * @returns null when the person closed the dialog or stopped; no file is left then.
 * @throws SetFileError, StoreError, or what the browser says about the file.
 */
export async function saveSetFile(set: ReferenceSet): Promise<(WrittenSet & { readonly fileName: string }) | null> {
  const { app, last } = set;
  const [obstacle] = set.obstacles;
  if (obstacle !== undefined)
    throw new SetFileError(
      `Nothing was written: ${obstacle}`,
      "Close the leaks first; the first part of this screen lists what to do.",
    );
  if (last === null || set.since.changed)
    throw new SetFileError("Nothing was written: the set changed since its last version.", "Freeze a version first.");
  if (set.lookAlikes === null)
    throw new SetFileError("Nothing was written: the photographs were not compared yet.", "Compare them first.");
  const given = set.settings.given;
  const lacking = lackingWords(given);
  if (lacking !== null) throw new SetFileError(`Nothing was written. ${lacking}`, "Then write the file again.");
  const fileName = setFileName(given.name, last.version);
  const target = await openFileTarget(fileName, "Reference set");
  if (target === null) return null;
  const writer = target.stream.getWriter();
  try {
    const options = optionsOf(given, last, app.ladder.levels, await peopleSeed(app.bench, app.surroundings.newId));
    const revisions = new Map(set.included.map(({ member, revision }) => [member.id, revision]));
    const plan = { members: set.members, splits: set.parts.of };
    const photographs = set.members.reduce((sum, { hashes }) => sum + hashes.length, 0);
    const suggested = new Map(app.summaries.map((s) => [s.id, s.suggested]));
    const written = await set.task.run(`Writing ${fileName}`, ({ signal, onProgress }) =>
      writeSetInThread(
        { plan, options },
        {
          async breakOf(id) {
            const stored = await app.bench.load(id);
            if (stored === null || stored.record.revision !== revisions.get(id))
              throw new SetFileError(
                `${set.numberOf.get(id) ?? id} was edited while the file was being written. No file was left.`,
                "Freeze a new version and write that.",
              );
            const { record, log } = stored;
            return { record, log, file: breakFile(record, log, suggested.get(id) ?? "undetermined") };
          },
          original: (hash) => app.bench.original(hash),
          write: (chunk) => writer.write(chunk),
        },
        {
          signal,
          onPart: (part) =>
            onProgress?.({ done: Math.round(part * photographs), total: photographs, what: "photographs" }),
        },
      ),
    );
    if (written === null) {
      await writer.abort();
      await target.discard();
      throw new SetFileError("Other work is going on.", "Wait until it has ended, then write the file again.");
    }
    await writer.close();
    await target.finish();
    return { ...written, fileName };
  } catch (error) {
    // What was written so far goes away: nothing is left that looks like a set.
    await writer.abort(error).catch(() => undefined);
    await target.discard().catch(() => undefined);
    if (!wasStopped(error)) throw error;
    app.say("Stopped. No file was written.");
    return null;
  }
}
