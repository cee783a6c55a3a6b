import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import * as z from "zod";
import { FEATURES } from "../../model/evidence/features.ts";
import { observationSheetSchemaText } from "../../scripts/schema/observation-sheet.ts";

const committed = readFileSync(new URL("../../scripts/schema/observation-sheet.schema.json", import.meta.url), "utf8");

describe("the committed JSON Schema of the observation sheet", () => {
  test("is what the present schema writes (else run `npx tsx scripts/schema/observation-sheet.ts`)", async () => {
    expect(await observationSheetSchemaText()).toBe(committed);
  });

  test("is draft 2020-12 and knows every feature", () => {
    const schema = JSON.parse(committed) as { $schema: string };
    expect(schema.$schema).toBe("https://json-schema.org/draft/2020-12/schema");
    for (const feature of FEATURES) expect(committed).toContain(`"const": "${feature.id}"`);
  });

  test("read back as a schema, it accepts the textbook cases and refuses a damaged one", () => {
    const schema = z.fromJSONSchema(JSON.parse(committed) as Parameters<typeof z.fromJSONSchema>[0]);
    const text = readFileSync(new URL("../model/evidence/textbook-cases.json", import.meta.url), "utf8");
    expect(schema.safeParse(JSON.parse(text)).success).toBe(true);
    expect(schema.safeParse(JSON.parse(text.replace('"end_hole"', '"cup"'))).success).toBe(false);
    expect(schema.safeParse({ id: "a", ends: [{ role: "left" }] }).success).toBe(false);
  });
});
