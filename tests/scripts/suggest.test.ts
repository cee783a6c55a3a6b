import { execFile, spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { BREAK_TYPE_IDS } from "../../model/evidence/break-type-ids.ts";

const ROOT = new URL("../..", import.meta.url).pathname;
const TEXTBOOK = join(ROOT, "tests/model/evidence/textbook-cases.json");
/** What a reader of a sheet must not be told. */
const EXPECTED_FIELDS = new Set([
  "expected_type",
  "acceptable_types",
  "must_not",
  "must_ask",
  "expected_origin",
  "rules",
  "why",
  "basis",
  "basis_sources",
  "class",
  "difficulty",
  "confirm_with",
]);

interface TextbookCase {
  readonly id: string;
  readonly acceptable_types: readonly string[];
  readonly must_not: readonly string[];
  readonly expected_origin: string | null;
}
interface Line {
  readonly id: string;
  readonly verdict: string;
  readonly ranking: readonly { readonly type: string; readonly support: number }[];
  readonly gates: readonly string[];
  readonly for: readonly string[];
  readonly against: readonly string[];
  readonly requests: readonly { readonly id: string; readonly text: string }[];
  readonly origin: string | null;
}
interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "endpair-suggest-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const file = (name: string, contents: unknown): string => {
  const path = join(folder, name);
  writeFileSync(path, typeof contents === "string" ? contents : JSON.stringify(contents));
  return path;
};

function suggest(args: readonly string[], input = ""): Promise<Ran> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, ["--import", "tsx", "scripts/suggest.ts", ...args], {
      cwd: ROOT,
    });
    let out = "";
    let err = "";
    child.stdout.setEncoding("utf8").on("data", (text: string) => (out += text));
    child.stderr.setEncoding("utf8").on("data", (text: string) => (err += text));
    child.on("error", reject);
    child.on("close", (code) => resolve({ code, out, err }));
    child.stdin.on("error", () => undefined);
    child.stdin.end(input);
  });
}
const lines = (ran: Ran): Line[] =>
  ran.out
    .split("\n")
    .filter((text) => text !== "")
    .map((text) => JSON.parse(text) as Line);

describe("suggest on the textbook cases", () => {
  const cases = JSON.parse(readFileSync(TEXTBOOK, "utf8")) as TextbookCase[];
  let ran: Ran = { code: null, out: "", err: "" };
  beforeAll(async () => {
    const sheets = cases.map((one) =>
      Object.fromEntries(Object.entries(one).filter(([key]) => !EXPECTED_FIELDS.has(key))),
    );
    ran = await suggest([file("textbook.json", sheets)]);
  }, 60_000);

  test("prints one line for each case, in order, and nothing else", () => {
    expect([ran.code, ran.err]).toEqual([0, ""]);
    expect(lines(ran).map((l) => l.id)).toEqual(cases.map((c) => c.id));
    expect(ran.out.endsWith("\n")).toBe(true);
  });

  test("every line has the fields of the format, and rule numbers once each", () => {
    for (const line of lines(ran)) {
      expect(Object.keys(line)).toEqual(["id", "verdict", "ranking", "gates", "for", "against", "requests", "origin"]);
      expect([...BREAK_TYPE_IDS, "undetermined"]).toContain(line.verdict);
      for (const rules of [line.gates, line.for, line.against]) {
        expect(rules.every((rule) => /^R\d{2,3}$/.test(rule))).toBe(true);
        expect(new Set(rules).size).toBe(rules.length);
      }
      for (const { type, support } of line.ranking) {
        expect(BREAK_TYPE_IDS).toContain(type);
        expect(Number.isFinite(support)).toBe(true);
      }
      for (const request of line.requests)
        expect([typeof request.id, request.text.length > 0]).toEqual(["string", true]);
      expect(line.origin === null || typeof line.origin === "string").toBe(true);
    }
  });

  test("every verdict is one the case accepts, and undecided ones ask for something", () => {
    const by = new Map(lines(ran).map((l) => [l.id, l]));
    for (const one of cases) {
      const line = by.get(one.id)!;
      expect([one.id, one.acceptable_types.includes(line.verdict)]).toEqual([one.id, true]);
      expect([one.id, one.must_not.includes(line.verdict)]).toEqual([one.id, false]);
      if (line.verdict === "undetermined") expect([one.id, line.requests.length > 0]).toEqual([one.id, true]);
    }
  });
});

describe("suggest on what it is given", () => {
  const sheet = (id: string, over: object = {}) => ({
    id,
    metal: "copper",
    wire_mm: 2,
    ends: [{ role: "machine" }],
    ...over,
  });

  test("a dash reads standard input, files come in the order they are named", async () => {
    const ran = await suggest([file("two.json", [sheet("b"), sheet("a")]), "-"], JSON.stringify(sheet("c")));
    expect([ran.code, lines(ran).map((l) => l.id)]).toEqual([0, ["b", "a", "c"]]);
  });

  test("an empty list is an answer: no lines, no complaint", async () => {
    expect(await suggest([file("none.json", [])])).toEqual({ code: 0, out: "", err: "" });
  });

  test("a byte-order mark is no fault", async () => {
    const ran = await suggest([file("bom.json", `\uFEFF${JSON.stringify(sheet("a"))}`)]);
    expect([ran.code, lines(ran).map((l) => l.id)]).toEqual([0, ["a"]]);
  });

  test("shapes without measures are measured: drawn and typed sheets come out alike", async () => {
    const photos = (side: string) => [
      { file: `${side}_end.jpg`, view: "end_on", px_per_mm: 400 },
      { file: `${side}_side.jpg`, view: "side_0", px_per_mm: 400 },
    ];
    const neck = (side: string) => ({
      feature: "neck",
      photo: `${side}_side.jpg`,
      geometry: {
        type: "line",
        points: [
          [900, 608],
          [900, 1384],
        ],
      },
    });
    const outlineOf = (side: string) => [
      {
        feature: "wire_outline",
        photo: `${side}_end.jpg`,
        geometry: { type: "ellipse", cx: 1000, cy: 1000, rx: 400, ry: 400, angle_deg: 0 },
      },
      {
        feature: "wire_outline",
        photo: `${side}_side.jpg`,
        geometry: {
          type: "edges",
          points: [
            [0, 600],
            [800, 600],
            [0, 1400],
            [800, 1400],
          ],
        },
      },
    ];
    const hole = (side: string, measures: object) => ({
      feature: "end_hole",
      photo: `${side}_end.jpg`,
      measures,
      geometry: { type: "ellipse", cx: 1000, cy: 1000, rx: 220, ry: 220, angle_deg: 0 },
    });
    const seen = { depth_d: 1.2, shape: "parallel", wall_texture: "dendritic" };
    const drawn = ["machine", "spool"].map((role) => ({
      role,
      photos: photos(role),
      features: [...outlineOf(role), neck(role), hole(role, seen)],
    }));
    const typed = ["machine", "spool"].map((role) => ({
      role,
      features: [
        { feature: "wire_outline", measures: { d0_mm: 2 } },
        { feature: "neck", measures: { neck_d_mm: 1.94, ra_pct: 5.9 } },
        { feature: "end_hole", measures: { ...seen, hole_d_over_D: 0.55, offset_ratio: 0 } },
      ],
    }));
    const context = { ref_ra_pct: 70 };
    const ran = await suggest([
      file("drawn.json", [sheet("drawn", { ends: drawn, context }), sheet("typed", { ends: typed, context })]),
    ]);
    const [one, other] = lines(ran);
    expect(one).toEqual({ ...other!, id: "drawn" });
    expect(one?.verdict).toBe("casting_void");
  });
});

describe("suggest on bad input: exit 2, file and field named, nothing on standard output", () => {
  const good = { id: "good", ends: [] };
  const cases: readonly (readonly [string, string, string, RegExp])[] = [
    [
      "text that is not JSON",
      "bad.json",
      '{"id": "a",\n  "ends": [}',
      /bad\.json: line 2, column 12: this is not JSON/,
    ],
    ["an empty file", "empty.json", "  \n", /empty\.json: it is empty/],
    ["a number instead of a sheet", "number.json", "42", /number\.json: It must be an object/],
    [
      "an unknown feature",
      "feature.json",
      JSON.stringify([good, { id: "b", ends: [{ role: "machine", features: [{ feature: "cup" }] }] }]),
      /feature\.json: \[1\]\.ends\[0\]\.features\[0\]\.feature: /,
    ],
    [
      "an unknown role",
      "role.json",
      JSON.stringify({ id: "a", ends: [{ role: "left" }] }),
      /role\.json: ends\[0\]\.role: /,
    ],
    [
      "an unknown measure",
      "measure.json",
      JSON.stringify({ id: "a", ends: [{ role: "machine", features: [{ feature: "neck", measures: { ra: 3 } }] }] }),
      /measure\.json: ends\[0\]\.features\[0\]\.measures\.ra: /,
    ],
    [
      "a measure out of range",
      "range.json",
      JSON.stringify({
        id: "a",
        ends: [{ role: "machine", features: [{ feature: "neck", measures: { ra_pct: 400 } }] }],
      }),
      /measures\.ra_pct: It must be at most 100/,
    ],
    ["a missing id", "id.json", JSON.stringify({ ends: [] }), /id\.json: id: It is missing/],
    ["missing ends", "ends.json", JSON.stringify({ id: "a" }), /ends\.json: ends: It is missing/],
    [
      "the same break twice in one file",
      "twice.json",
      JSON.stringify([good, good]),
      /twice\.json: \[1\]\.id: The break "good" was given already, in \[0\]/,
    ],
    ["an unknown key", "key.json", JSON.stringify({ ...good, colour: "red" }), /key\.json: colour: /],
    [
      "a misspelt context fact",
      "context.json",
      JSON.stringify({ ...good, context: { oxygen_pmm: 9 } }),
      /context\.json: context\.oxygen_pmm: /,
    ],
    [
      "features on an end that was lost",
      "lost.json",
      JSON.stringify({ id: "a", ends: [{ role: "spool", recovered: false, features: [{ feature: "neck" }] }] }),
      /lost\.json: ends\[0\]\.features: /,
    ],
    [
      "three ends",
      "three.json",
      JSON.stringify({ id: "a", ends: [{ role: "machine" }, { role: "spool" }, { role: "unknown" }] }),
      /three\.json: ends: It must have at most 2/,
    ],
  ];
  let together: Ran = { code: null, out: "", err: "" };
  beforeAll(async () => {
    together = await suggest(cases.map(([, name, contents]) => file(name, contents)));
  }, 60_000);

  test.each(cases)("%s", (_name, _file, _contents, message) => {
    expect([together.code, together.out]).toEqual([2, ""]);
    expect(together.err).toMatch(message);
    expect(together.err).not.toMatch(/ {4}at |node_modules/);
  });

  test("one bad file alone does the same", async () => {
    const [, name, contents, message] = cases[3]!;
    const ran = await suggest([file(name, contents)]);
    expect([ran.code, ran.out]).toEqual([2, ""]);
    expect(ran.err).toMatch(message);
  });

  test("a good file beside a bad one prints nothing either, and every fault is told", async () => {
    const ran = await suggest([
      file("fine.json", good),
      join(folder, "absent.json"),
      folder,
      file("wrong.json", { ends: 3 }),
    ]);
    expect([ran.code, ran.out]).toEqual([2, ""]);
    expect(ran.err).toMatch(/absent\.json: there is no such file/);
    expect(ran.err).toMatch(/: this is a folder, not a file/);
    expect(ran.err).toMatch(/wrong\.json: id: /);
    expect(ran.err).toMatch(/wrong\.json: ends: /);
  });

  test("the same break in two files", async () => {
    const ran = await suggest([file("first.json", good), file("second.json", [good])]);
    expect([ran.code, ran.out]).toEqual([2, ""]);
    expect(ran.err).toMatch(/second\.json: \[0\]\.id: The break "good" was given already, in .*first\.json/);
  });

  test("bad standard input is called by its name", async () => {
    const ran = await suggest(["-"], "{");
    expect([ran.code, ran.out]).toEqual([2, ""]);
    expect(ran.err).toMatch(/^standard input: line 1, column 2: /);
  });

  test("no file, and an option nobody knows, show how it is called", async () => {
    for (const args of [[], ["--fast"]]) {
      const ran = await suggest(args);
      expect([ran.code, ran.out]).toEqual([2, ""]);
      expect(ran.err).toMatch(/Usage: npm run -s suggest/);
    }
  });

  test("the command of the README is this one", async () => {
    const path = file("readme.json", { id: "a", ends: [] });
    const { stdout } = await promisify(execFile)("npm", ["run", "-s", "suggest", "--", path], { cwd: ROOT });
    expect(JSON.parse(stdout)).toMatchObject({ id: "a", verdict: "undetermined" });
  });

  test("help is no fault", async () => {
    const ran = await suggest(["--help"]);
    expect([ran.code, ran.err]).toEqual([0, ""]);
    expect(ran.out).toMatch(/one line of JSON for each break/);
  });
});
