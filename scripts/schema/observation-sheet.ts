import { readFileSync, writeFileSync } from "node:fs";
import * as z from "zod";
import { format, resolveConfig } from "prettier";
import { sheetsSchema } from "../../model/break/observation-sheet-schema.ts";

const FILE = new URL("./observation-sheet.schema.json", import.meta.url);

/** The JSON Schema (draft 2020-12) of the observation sheet, as it is committed. */
export async function observationSheetSchemaText(): Promise<string> {
  const schema = z.toJSONSchema(sheetsSchema, { target: "draft-2020-12", io: "input" });
  const options = await resolveConfig(FILE);
  return format(JSON.stringify(schema), { ...options, parser: "json" });
}

/** `tsx scripts/schema/observation-sheet.ts` writes the schema; with `--check` it only says whether it is stale. */
async function main(): Promise<void> {
  const text = await observationSheetSchemaText();
  if (!process.argv.includes("--check")) writeFileSync(FILE, text);
  else if (readFileSync(FILE, "utf8") !== text) {
    console.error("The committed schema is stale: run `npx tsx scripts/schema/observation-sheet.ts`.");
    process.exitCode = 1;
  }
}

if (process.argv[1] === import.meta.filename) await main();
