import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import * as z from "zod";
import { applyEdit } from "../../../model/break/edits.ts";
import { migrate, type Migration, MIGRATIONS } from "../../../model/break/migrations.ts";
import { RecordError } from "../../../model/break/record-error.ts";
import { MAX_MARKS, MAX_PHOTOGRAPHS, parseWireBreak } from "../../../model/break/record-schema.ts";
import { RECORD_VERSION, type WireBreak } from "../../../model/break/wire-break.ts";
import { FEATURE_IDS } from "../../../model/evidence/features.ts";
import { AT, dice, editFor, mark, photograph, startBreak } from "./random-breaks.ts";
import fc from "../../properties.ts";

const frozenText = (version: number) =>
  readFileSync(new URL(`../../frozen/break-v${version}.json`, import.meta.url), "utf8");
const frozen = (): WireBreak => JSON.parse(frozenText(1)) as WireBreak;

function refusal(record: unknown): RecordError {
  try {
    parseWireBreak(record);
  } catch (error) {
    if (error instanceof RecordError) return error;
    throw error;
  }
  throw new Error("The record was accepted.");
}

/** The frozen record with one field replaced, named by its path. */
function withField(path: readonly (string | number)[], value: unknown): unknown {
  const copy: unknown = JSON.parse(frozenText(1));
  let here = copy as Record<string | number, unknown>;
  for (const step of path.slice(0, -1)) here = here[step] as Record<string | number, unknown>;
  const last = path.at(-1)!;
  if (value === undefined) delete here[last];
  else here[last] = value;
  return copy;
}

describe("records that were stored before", () => {
  test.each(Array.from({ length: RECORD_VERSION }, (_, i) => i + 1))(
    "a frozen record of version %i opens",
    (version) => {
      expect(parseWireBreak(JSON.parse(frozenText(version))).version).toBe(RECORD_VERSION);
    },
  );

  test("the frozen record of this version comes back unchanged, texts with markup included", () => {
    const read = parseWireBreak(JSON.parse(frozenText(1)));
    expect(read).toEqual(frozen());
    expect(read.ends.machine.photographs[1]?.fileName).toBe("<img src=x onerror=alert(1)>.png");
    expect(read.ends.takeUp.marks[0]?.note).toContain("<b>not bold</b>");
  });

  test("every record the edits can make is read back as it was written", () => {
    fc.assert(
      fc.property(fc.array(dice, { maxLength: 30 }), (throws) => {
        let now = startBreak();
        for (const thrown of throws) now = applyEdit(now, editFor(now, thrown), AT).next;
        expect(parseWireBreak(JSON.parse(JSON.stringify(now)))).toEqual(now);
      }),
    );
  });

  test("every feature of the vocabulary can be stored", () => {
    const b = startBreak();
    const marks = FEATURE_IDS.map((feature, i) => mark(`m${i}`, { feature }));
    expect(
      parseWireBreak({ ...b, ends: { ...b.ends, machine: { ...b.ends.machine, marks } } }).ends.machine.marks,
    ).toHaveLength(34);
  });
});

describe("records that cannot be read are refused, and the field is named", () => {
  const mark0 = ["ends", "machine", "marks", 0] as const;
  const photo0 = ["ends", "machine", "photographs", 0] as const;
  const cases: readonly (readonly [string, readonly (string | number)[], unknown, string, RegExp])[] = [
    ["a missing number", ["number"], undefined, "wrong-field", /^number: It is missing; it must be a text\./],
    ["a number that is no text", ["number"], 7, "wrong-field", /^number: It must be a text\./],
    [
      "a text of a megabyte",
      ["number"],
      "x".repeat(1e6),
      "wrong-field",
      /^number: It must have at most 500 characters/,
    ],
    ["an unknown field", ["colour"], "red", "unknown-field", /^colour: /],
    [
      "an unknown feature",
      [...mark0, "feature"],
      "cup",
      "wrong-field",
      /^ends\.machine\.marks\[0\]\.feature: It must be one of "wire_outline"/,
    ],
    ["an unknown state", [...mark0, "state"], "maybe", "wrong-field", /marks\[0\]\.state: /],
    [
      "a coordinate that is no number",
      [...mark0, "geometry", "points", 0, 0],
      "12",
      "wrong-field",
      /marks\[0\]\.geometry\.points\[0\]\[0\]: It must be a number/,
    ],
    [
      "a coordinate beyond any picture",
      [...mark0, "geometry", "points", 0, 0],
      1e300,
      "wrong-field",
      /points\[0\]\[0\]: It must be at most 1000000/,
    ],
    [
      "an angle with two points",
      [...mark0, "geometry", "points"],
      [
        [1, 2],
        [3, 4],
      ],
      "wrong-field",
      /geometry\.points/,
    ],
    [
      "a shape nobody knows",
      [...mark0, "geometry"],
      { type: "spiral", points: [] },
      "wrong-field",
      /geometry\.type: It must be one of "point"/,
    ],
    [
      "more points than allowed",
      ["ends", "takeUp", "marks", 2, "geometry", "points"],
      Array.from({ length: 20_001 }, () => [1, 1]),
      "wrong-field",
      /at most 20000 entries/,
    ],
    [
      "a hash that is none",
      [...photo0, "hash"],
      "../../etc/passwd",
      "wrong-field",
      /photographs\[0\]\.hash: It must be a SHA-256/,
    ],
    ["a picture without width", [...photo0, "widthPx"], 0, "wrong-field", /widthPx: It must be at least 1/],
    ["an orientation beyond 8", [...photo0, "orientation"], 9, "wrong-field", /orientation/],
    ["a scale of an unknown method", [...photo0, "scale"], { method: "guess" }, "wrong-field", /scale\.method/],
    [
      "a negative uncertainty",
      [...photo0, "scale", "diameterMm", "u"],
      -1,
      "wrong-field",
      /diameterMm\.u: It must be at least 0/,
    ],
    ["a time that is none", ["createdAt"], "yesterday", "wrong-field", /^createdAt: It must be a time/],
    ["an unknown verdict", ["confirmations", 0, "type"], "cup", "wrong-field", /confirmations\[0\]\.type/],
    [
      "a rule that is none",
      ["confirmations", 0, "suggestion", "for", 0, "rule"],
      "<script>",
      "wrong-field",
      /for\[0\]\.rule: It must be a rule number/,
    ],
    [
      "a reduction of area of 170 %",
      ["context", "refRaPct"],
      170,
      "wrong-field",
      /^context\.refRaPct: It must be at most 100/,
    ],
    ["a test result that is an object", ["context", "tests", "core_hv"], {}, "wrong-field", /^context\.tests\.core_hv/],
    [
      "a measure that is a list",
      [...mark0, "given"],
      { flank_angle_deg: [45] },
      "wrong-field",
      /given\.flank_angle_deg: It must be a number or a text or true or false/,
    ],
    ["a measure under an odd name", [...mark0, "given"], { "a b": 1 }, "unknown-field", /given\.a b/],
    [
      "a mark on a photograph of the other end",
      [...mark0, "photographId"],
      "p3",
      "contradiction",
      /marks\[0\]\.photographId/,
    ],
    [
      "two marks with one identifier",
      ["ends", "takeUp", "marks", 0, "id"],
      "m1",
      "contradiction",
      /ends\.takeUp\.marks\[0\]\.id/,
    ],
    ["ends that are a list", ["ends"], [], "wrong-field", /^ends: It must be an object/],
  ];
  test.each(cases)("%s", (_name, path, value, code, message) => {
    const error = refusal(withField(path, value));
    expect(error.code).toBe(code);
    expect(error.message).toMatch(message);
    expect(error.next).not.toBe("");
  });

  test("too many marks or photographs", () => {
    const b = startBreak();
    const end = (over: object) => ({ ...b, ends: { ...b.ends, machine: { ...b.ends.machine, ...over } } });
    const marks = Array.from({ length: MAX_MARKS + 1 }, (_, i) => mark(`m${i}`));
    const photographs = Array.from({ length: MAX_PHOTOGRAPHS + 1 }, (_, i) => photograph(`p${i}`));
    expect(refusal(end({ marks })).field).toBe("ends.machine.marks");
    expect(refusal(end({ photographs })).field).toBe("ends.machine.photographs");
    expect(parseWireBreak(end({ marks: marks.slice(1) })).ends.machine.marks).toHaveLength(MAX_MARKS);
  });

  test("numbers that JSON cannot hold", () => {
    expect(refusal(withField(["context", "oxygenPpm"], Number.NaN)).field).toBe("context.oxygenPpm");
    expect(refusal(withField(["context", "oxygenPpm"], Number.POSITIVE_INFINITY)).field).toBe("context.oxygenPpm");
  });

  test("all faults are told, the first one names the error", () => {
    const broken = withField(["number"], 3) as Record<string, unknown>;
    const error = refusal({ ...broken, demo: "yes" });
    expect(error.faults.map((f) => f.field)).toEqual(["number", "demo"]);
    expect(error.field).toBe("number");
  });

  test.each([[null], [undefined], [3], ["text"], [[]], [{}], [new Date(0)]])("%j is no record", (value) => {
    expect(refusal(value).code).toBe("not-a-record");
  });
});

describe("a hostile file reaches no prototype", () => {
  test.each([
    ["at the top", '"version":1', '"version":1,"__proto__":{"polluted":true}'],
    ["in the given measures", '"given":{}', '"given":{"__proto__":{"polluted":true},"constructor":1}'],
    ["in the test results", '"tests":{}', '"tests":{"__proto__":{"polluted":true}}'],
  ])("%s", (_name, from, to) => {
    const b = startBreak();
    const text = JSON.stringify({ ...b, ends: { ...b.ends, machine: { ...b.ends.machine, marks: [mark("m1")] } } });
    expect(text).toContain(from);
    let read: WireBreak | null = null;
    try {
      read = parseWireBreak(JSON.parse(text.replace(from, to)));
    } catch (error) {
      expect(error).toBeInstanceOf(RecordError);
    }
    expect(({} as Record<string, unknown>)["polluted"]).toBeUndefined();
    for (const table of [read, read?.ends.machine.marks[0]?.given, read?.context.tests])
      if (table) {
        expect((table as unknown as Record<string, unknown>)["polluted"]).toBeUndefined();
        expect(Object.getPrototypeOf(table)).toBe(Object.prototype);
      }
  });
});

test("schemas are interpreted, not compiled: the security policy of the application allows no `new Function`", () => {
  expect(z.config().jitless).toBe(true);
  const compile = globalThis.Function;
  let compiled = 0;
  globalThis.Function = new Proxy(compile, {
    construct: (target, args: string[]) => {
      compiled += 1;
      return Reflect.construct(target, args);
    },
  });
  try {
    parseWireBreak(frozen());
  } finally {
    globalThis.Function = compile;
  }
  expect(compiled).toBe(0);
});

describe("migrations", () => {
  test("there is one step for each version passed", () => {
    expect(MIGRATIONS).toHaveLength(RECORD_VERSION - 1);
  });

  test("a newer record is refused with its own code and left alone", () => {
    const error = refusal({ ...frozen(), version: RECORD_VERSION + 1 });
    expect(error.code).toBe("newer-version");
    expect(error.next).toContain("Update Endpair");
  });

  test.each([[0], [1.5], [-1], ["1"], [null]])("version %j is unknown", (version) => {
    expect(refusal({ ...frozen(), version }).code).toBe("unknown-version");
  });

  test("steps run in order, each once, from the version of the record on", () => {
    const steps: readonly Migration[] = [
      (r) => ({ ...r, trail: [...((r["trail"] as string[] | undefined) ?? []), "1→2"] }),
      (r) => ({ ...r, trail: [...((r["trail"] as string[] | undefined) ?? []), "2→3"] }),
    ];
    const first = Object.freeze({ version: 1 });
    expect(migrate(first, steps)).toEqual({ version: 3, trail: ["1→2", "2→3"] });
    expect(migrate({ version: 2 }, steps)).toEqual({ version: 3, trail: ["2→3"] });
    expect(migrate({ version: 3 }, steps)).toEqual({ version: 3 });
    expect(first).toEqual({ version: 1 });
    expect(() => migrate({ version: 4 }, steps)).toThrow(RecordError);
  });
});
