/// <reference lib="webworker" />
import * as schemas from "virtual:set-schemas";
import { checkSet } from "../../model/reference/check/check-set.ts";
import { PATHS } from "../../model/reference/export/set-names.ts";
import { CheckProgress } from "../reference/check/check-progress.ts";
import { NoZip, openBlob, type OpenZip } from "../reference/check/open-zip.ts";
import { pictureFacts, schemaSentence } from "../reference/check/picture-facts.ts";
import { sha256Hex } from "../storage/canonical.ts";
import { serve } from "./serve.ts";
import type { CheckedSet, SetCheckRequests } from "./set-check-protocol.ts";

serve<SetCheckRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  async check({ file, progressName }, onPart) {
    let zip: OpenZip;
    let manifest: string;
    try {
      zip = await openBlob(file);
      manifest = zip.entries.has(PATHS.manifest) ? await sha256Hex(await zip.read(PATHS.manifest)) : "";
    } catch (error) {
      if (!(error instanceof NoZip)) throw error;
      return { output: { noZip: error.message } };
    }
    const key = [file.name, file.size, file.lastModified, manifest].join(" ");
    const progress = await CheckProgress.open(progressName, key);
    return { output: await checked(zip, progress, onPart) };
  },
});

async function checked(zip: OpenZip, progress: CheckProgress, onPart: (part: number) => void): Promise<CheckedSet> {
  const notDone: string[] = [];
  const files = { paths: [...zip.entries.keys()], twice: zip.twice, read: (path: string) => zip.read(path) };
  const resumed = files.paths.filter((path) => progress.known.has(path)).length;
  const faults = await checkSet(files, {
    sha256: sha256Hex,
    text: (bytes) => new TextDecoder().decode(bytes),
    picture: pictureFacts,
    schema(which, content) {
      const validate = schemas[which];
      return validate(content) ? [] : (validate.errors ?? []).map(schemaSentence);
    },
    async shapes(description) {
      const shapesCheck = await import("../reference/check/shapes-check.ts").then(
        (module) => module.shapesCheck,
        () => null,
      );
      if (shapesCheck !== null) return shapesCheck(schemas.shapes)(description);
      notDone.push(
        "The SHACL shapes of the description were not checked: their program could not be loaded. The command npm run -s check-set does it.",
      );
      return [];
    },
    known: (path) => progress.known.get(path),
    onFile: (path, facts) => progress.add(path, facts),
    onProgress: (done, total) => onPart(done / total),
  });
  await progress.end();
  return {
    files: files.paths.length,
    resumed,
    faults: faults.count,
    list: faults.list,
    untold: faults.untold,
    notDone,
  };
}
