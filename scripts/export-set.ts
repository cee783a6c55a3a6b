import { openAsBlob } from "node:fs";
import { fileURLToPath } from "node:url";
import { CROP_PX, isCropPx } from "../model/reference/export/crops.ts";
import { LICENCES } from "../model/reference/export/licences.ts";
import { versionMember } from "../model/reference/export/set-builder.ts";
import { caseIdOf } from "../model/reference/export/set-names.ts";
import type { SetOptions } from "../model/reference/export/set-options.ts";
import { writeSet } from "../model/reference/export/write-set.ts";
import { findLeaks } from "../model/reference/leaks.ts";
import { setBreakOf, type SetBreak, type Split } from "../model/reference/member.ts";
import { differenceOf, isVersion, type VersionMember } from "../model/reference/set-version.ts";
import { assignSplits, DEFAULT_PLAN, type GroupBy, type SplitPlan } from "../model/reference/splits.ts";
import { BenchFileError } from "../web/storage/bench-file-error.ts";
import { breakFile } from "../web/storage/bench-file-format.ts";
import { checkBenchFile } from "../web/storage/check-bench-file.ts";
import { benchFromSet, carriesRecords } from "./reference-set/bench-from-set.ts";
import { benchSource } from "./reference-set/bench-source.ts";
import { demoBreaks } from "./reference-set/demo-bench.ts";
import { earlierSet } from "./reference-set/earlier-set.ts";
import { lookAlikes } from "./reference-set/look-alikes.ts";
import { NoZip, openZip } from "./reference-set/open-set.ts";
import { writeBench } from "./reference-set/write-bench.ts";
import { zipSink } from "./reference-set/zip-sink.ts";

const HELP = `Usage: npm run -s export-set -- BENCH.zip --out SET.zip [options]

Writes the confirmed breaks of a bench file as a reference set: COCO marks, Croissant description, tables, records,
data sheet and hashes in one zip. Prints one line of JSON:
  {breaks, photographs, marks, originals, unconfirmed, missing:[{number, fileName, why}], difference}
  with --crops also {crops:{written, leftOut:[{why, photographs}]}}
A set that leaks between its parts is not written; the leaks are named.

  BENCH.zip            a bench file saved by Endpair, or a set that carries records; or --demo for the invented breaks
                       of the demo mill
  --out FILE           where to write the set
  --name TEXT          name of the set (wire-breaks)
  --set-version N.N.N  its version (1.0.0; with --previous the version the changes call for)
  --date YYYY-MM-DD    its day (today)
  --creator TEXT       laboratory that gives it away (unnamed laboratory)
  --description TEXT   one sentence
  --url URL            where it is to be found (https://example.org/)
  --licence ID         ${LICENCES.map((l) => l.id).join(", ")} (CC-BY-4.0)
  --group-by WHAT      break, cast or coil: what is kept in one part (break)
  --by-hash            parts follow from names alone, instead of being balanced by type
  --salt TEXT          another text gives another split (endpair)
  --previous SET.zip   an earlier version: its breaks stay in their parts, and the difference is told
  --freeze-test        no new break enters the test part
  --seed TEXT          codes of people follow from it; keep it to yourself (new with every run)
  --strip              take everything but the picture out of the files (the position always goes)
  --crops PX           crops of the photographs too, PX pixels to one wire diameter (64 to 1024; 256 is a good start)
  --no-records         leave records and originals out
  --allow-look-alikes  write it even when photographs in different parts look like one
  --help               this text

Exit codes: 0 written, 1 it was not written because of what it would hold, 2 the command or a file makes no sense.
`;

/** The next version before it has a name: enough to see how large the change is. */
const NO_VERSION = { name: "", version: "0.0.0", date: "" };

class BadCommand extends Error {}

const FLAGS = ["--demo", "--by-hash", "--freeze-test", "--strip", "--no-records", "--allow-look-alikes"];
const VALUES = [
  "--out",
  "--name",
  "--set-version",
  "--date",
  "--creator",
  "--description",
  "--url",
  "--licence",
  "--group-by",
  "--salt",
  "--previous",
  "--seed",
  "--crops",
];

interface Asked {
  readonly files: readonly string[];
  readonly flags: ReadonlySet<string>;
  readonly values: ReadonlyMap<string, string>;
}

function asked(words: readonly string[]): Asked {
  const files: string[] = [];
  const flags = new Set<string>();
  const values = new Map<string, string>();
  for (let i = 0; i < words.length; i++) {
    const [name = "", joined] = words[i]!.startsWith("--") ? splitAt(words[i]!) : [words[i]];
    if (FLAGS.includes(name)) flags.add(name);
    else if (VALUES.includes(name)) {
      const value = joined ?? words[++i];
      if (value === undefined || value === "") throw new BadCommand(`${name} wants a value.`);
      values.set(name, value);
    } else if (name.startsWith("--")) throw new BadCommand(`There is no option ${name}.`);
    else files.push(name);
  }
  if (!values.has("--out")) throw new BadCommand("Say with --out where to write the set.");
  if (flags.has("--demo") ? files.length > 0 : files.length !== 1)
    throw new BadCommand("Name one bench file, or give --demo alone.");
  return { files, flags, values };
}

function splitAt(word: string): readonly [string, string?] {
  const at = word.indexOf("=");
  return at < 0 ? [word] : [word.slice(0, at), word.slice(at + 1)];
}

function optionsOf({ flags, values }: Asked, version: string): SetOptions {
  const licence = values.get("--licence") ?? "CC-BY-4.0";
  const known = LICENCES.find(({ id }) => id.toLowerCase() === licence.toLowerCase());
  if (!known) throw new BadCommand(`--licence is one of ${LICENCES.map((l) => l.id).join(", ")}, not "${licence}".`);
  const date = values.get("--date") ?? new Date().toISOString().slice(0, 10);
  if (!/^\d{4}-\d{2}-\d{2}$/.test(date) || Number.isNaN(Date.parse(date)))
    throw new BadCommand(`--date is a day such as 2026-03-31, not "${date}".`);
  if (!isVersion(version)) throw new BadCommand(`--set-version is three numbers such as 1.0.0, not "${version}".`);
  const url = values.get("--url") ?? "https://example.org/";
  if (!URL.canParse(url)) throw new BadCommand(`--url is an address such as https://example.org/, not "${url}".`);
  const crops = values.get("--crops");
  if (crops !== undefined && !(/^\d+$/.test(crops) && isCropPx(Number(crops))))
    throw new BadCommand(
      `--crops is a whole number of pixels from ${CROP_PX.least} to ${CROP_PX.most}, not "${crops}".`,
    );
  return {
    name: values.get("--name") ?? "wire-breaks",
    version,
    date,
    description: values.get("--description") ?? "Wire breaks with both ends, marked and confirmed.",
    creator: values.get("--creator") ?? "unnamed laboratory",
    url,
    licence: known.id,
    peopleSeed: values.get("--seed") ?? crypto.randomUUID(),
    metadata: flags.has("--strip") ? "all" : "position",
    withRecords: !flags.has("--no-records"),
    crops: crops === undefined ? null : { pxPerDiameter: Number(crops) },
    plan: planOf(flags, values),
    app: "Endpair 0.1.0",
  };
}

function planOf(flags: Asked["flags"], values: Asked["values"]): SplitPlan {
  const groupBy = values.get("--group-by") ?? "break";
  if (!["break", "cast", "coil"].includes(groupBy))
    throw new BadCommand(`--group-by is break, cast or coil, not "${groupBy}".`);
  return {
    ...DEFAULT_PLAN,
    salt: values.get("--salt") ?? DEFAULT_PLAN.salt,
    groupBy: groupBy as GroupBy,
    how: flags.has("--by-hash") ? "by-hash" : "balanced",
    testFrozen: flags.has("--freeze-test"),
  };
}

async function benchOf({ files, flags }: Asked): Promise<Blob> {
  if (!flags.has("--demo")) {
    let blob: Blob;
    try {
      blob = await openAsBlob(files[0]!);
    } catch {
      throw new BadCommand(`${files[0]} is not there, or may not be read.`);
    }
    const zip = await openZip(blob);
    return carriesRecords(zip) ? benchFromSet(blob, "2026-03-10T08:00:00Z") : blob;
  }
  const made = await demoBreaks(fileURLToPath(new URL("../samples/", import.meta.url)));
  const originals = new Map(made.flatMap((one) => [...one.originals]));
  return writeBench(
    made.map(({ record, log, suggested }) => breakFile(record, log, suggested)),
    (hash) => Promise.resolve(originals.get(hash) ?? null),
    "2026-03-10T08:00:00Z",
  );
}

async function exportSet(task: Asked): Promise<number> {
  const checked = await checkBenchFile(await benchOf(task), {});
  const source = await benchSource(checked);
  const members: SetBreak[] = [];
  for (const id of source.ids) {
    const member = setBreakOf((await source.breakOf(id)).record);
    if (member !== null) members.push(member);
  }
  if (members.length === 0) {
    process.stderr.write("No break on this bench is confirmed. Confirm some; only confirmed breaks go into a set.\n");
    return 1;
  }
  const before = task.values.has("--previous") ? await earlierSet(task.values.get("--previous")!) : null;
  const byCase = new Map(before?.members.map((m) => [m.breakId, m.split]));
  const kept = new Map<string, Split>(
    members.flatMap((m): [string, Split][] => {
      const split = byCase.get(caseIdOf(m.id));
      return split === undefined ? [] : [[m.id, split]];
    }),
  );
  const plan = planOf(task.flags, task.values);
  const { of: splits, conflicts } = assignSplits(members, plan, kept);
  const alike = task.flags.has("--allow-look-alikes") ? [] : await lookAlikes(source, members);
  const leaks = findLeaks(members, splits, plan.groupBy, alike);
  if (conflicts.length + leaks.length > 0) {
    const says = [...conflicts.map((c) => c.says), ...leaks.map((leak) => leak.says)];
    process.stderr.write(`${says.join("\n")}\nNothing was written: the parts of the set would know of one another.\n`);
    return 1;
  }
  const draft: VersionMember[] = [];
  for (const member of members)
    draft.push(versionMember((await source.breakOf(member.id)).record, member, splits.get(member.id)!));
  const difference = before === null ? null : differenceOf(before, { ...NO_VERSION, members: draft });
  const version = task.values.get("--set-version") ?? difference?.atLeast ?? "1.0.0";
  const options = optionsOf(task, version);
  const sink = zipSink(task.values.get("--out")!);
  try {
    const report = await writeSet(source, sink, { members, splits }, options);
    await sink.close();
    const line = {
      version,
      breaks: report.breaks,
      photographs: report.photographs,
      marks: report.annotations,
      originals: report.originals,
      unconfirmed: source.ids.length - members.length,
      missing: report.missing,
      ...(report.crops === null ? {} : { crops: report.crops }),
      difference: difference?.says ?? null,
    };
    process.stdout.write(`${JSON.stringify(line)}\n`);
    return 0;
  } catch (error) {
    await sink.abandon();
    throw error;
  }
}

async function main(words: readonly string[]): Promise<number> {
  if (words.includes("--help")) {
    process.stdout.write(HELP);
    return 0;
  }
  try {
    const task = asked(words);
    optionsOf(task, task.values.get("--set-version") ?? "1.0.0");
    return await exportSet(task);
  } catch (error) {
    const told =
      error instanceof BenchFileError
        ? `The bench file cannot be used: ${error.message} ${error.next}`
        : error instanceof NoZip
          ? `A file cannot be used: ${error.message}.`
          : error instanceof BadCommand
            ? error.message
            : error instanceof Error && "code" in error
              ? `The set could not be written: ${error.message}.`
              : null;
    if (told === null) throw error;
    process.stderr.write(`${told}\nnpm run -s export-set -- --help tells what it takes.\n`);
    return 2;
  }
}

process.exitCode = await main(process.argv.slice(2));
