import { checkSet } from "../model/reference/check/check-set.ts";
import type { Faults } from "../model/reference/check/fault.ts";
import { checkTools } from "./reference-set/check-tools.ts";
import { NoZip, openZip } from "./reference-set/open-set.ts";

const HELP = `Usage: npm run -s check-set -- SET.zip…

Checks reference sets: hashes, JSON Schema of the marks and the description, SHACL shapes of the description (nothing is
fetched), references between tables and marks, outlines, boxes and areas inside the pictures, size and turn of every
picture, positions left in files, both ends, confirmations, and whether the parts know of one another.
Prints one line of JSON for each set:
  {file, files, faults, list:[{code, where, says}], untold:[{code, more}]}

  SET.zip  a set written by export-set or by Endpair
  --help   this text

Exit codes: 0 nothing was found, 1 a set has faults, 2 a file cannot be opened or the command makes no sense.
`;

async function checked(path: string): Promise<{ readonly files: number; readonly faults: Faults }> {
  const zip = await openZip(path);
  const files = { paths: [...zip.entries.keys()], twice: zip.twice, read: (at: string) => zip.read(at) };
  return { files: files.paths.length, faults: await checkSet(files, checkTools()) };
}

async function main(words: readonly string[]): Promise<number> {
  if (words.includes("--help")) {
    process.stdout.write(HELP);
    return 0;
  }
  const option = words.find((word) => word.startsWith("-"));
  if (option !== undefined || words.length === 0) {
    process.stderr.write(
      `${option === undefined ? "Name at least one set." : `There is no option ${option}.`}\nnpm run -s check-set -- --help tells what it takes.\n`,
    );
    return 2;
  }
  let code = 0;
  for (const file of words) {
    try {
      const { files, faults } = await checked(file);
      process.stdout.write(
        `${JSON.stringify({ file, files, faults: faults.count, list: faults.list, untold: faults.untold })}\n`,
      );
      if (faults.count > 0) code = Math.max(code, 1);
    } catch (error) {
      if (!(error instanceof NoZip)) throw error;
      process.stderr.write(`${file}: ${error.message}.\n`);
      code = 2;
    }
  }
  return code;
}

process.exitCode = await main(process.argv.slice(2));
