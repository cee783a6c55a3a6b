import { spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { trueStrain } from "../../model/route/pass-geometry.ts";

const ROOT = new URL("../..", import.meta.url).pathname;

interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "endpair-passes-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const file = (name: string, contents: unknown): string => {
  const path = join(folder, name);
  writeFileSync(path, typeof contents === "string" ? contents : JSON.stringify(contents));
  return path;
};

function passes(args: readonly string[], input = ""): Promise<Ran> {
  return new Promise((settle, fail) => {
    const child = spawn(process.execPath, ["--import", "tsx", "scripts/passes.ts", ...args], { cwd: ROOT });
    let [out, err] = ["", ""];
    child.stdout.on("data", (chunk: Buffer) => (out += chunk.toString()));
    child.stderr.on("data", (chunk: Buffer) => (err += chunk.toString()));
    child.on("error", fail);
    child.on("close", (code) => settle({ code, out, err }));
    child.stdin.end(input);
  });
}
type Line = Readonly<Record<string, unknown>>;
const lines = (ran: Ran): readonly Line[] =>
  ran.out
    .split("\n")
    .filter((l) => l !== "")
    .map((l) => JSON.parse(l) as Line);

const D20 = 2 * Math.sqrt(0.8);

describe("passes", () => {
  test("JSON: full precision, one line per pass, in order, damage summed and started again after an anneal", async () => {
    const pass = { semi_angle_deg: 8, d_in_mm: 2, d_out_mm: D20, friction_m: 0.1 };
    const ran = await passes([
      file("two.json", [pass, pass, { ...pass, anneal_before: true, friction_low: 0.05, friction_high: 0.2 }]),
    ]);
    expect([ran.code, ran.err]).toEqual([0, ""]);
    const [first, second, third] = lines(ran) as [Line, Line, Line];
    /** 8°, 20 %, m 0.1: drawing stress, B, critical angle and damage, derived for this project. */
    expect(first).toMatchObject({
      reduction: expect.closeTo(0.2, 9) as number,
      true_strain: trueStrain(2, D20),
      delta: expect.closeTo(2.505493, 6) as number,
      redundant_work: expect.closeTo(1.3694302, 6) as number,
      drawing_stress_ratio: expect.closeTo(0.42266806, 7) as number,
      centreline_stress_ratio: expect.closeTo(0.59933102, 7) as number,
      damage_increment: expect.closeTo(0.28249922, 7) as number,
      critical_semi_angle_deg: expect.closeTo(8.5950534, 5) as number,
      in_fitted_range: true,
      risk: "moderate",
      outside: {},
    });
    expect(second["damage_sum"]).toBeCloseTo(2 * 0.28249922, 7);
    expect(third["damage_sum"]).toBe(third["damage_increment"]);
    const bands = third["bands"] as Readonly<Record<string, readonly [number, number]>>;
    expect(bands["centreline_stress_ratio"]![0]).toBeLessThan(0.599);
    expect(bands["centreline_stress_ratio"]![1]).toBeGreaterThan(0.6);
  });

  test("CSV with a heading, μ, bearing, a limit, and a pass outside the fitted range", async () => {
    const csv =
      "semi_angle_deg;d_in_mm;d_out_mm;mu;bearing_mm;anneal_before\n" +
      `8;2;${String(D20).replace(".", ",")};0,05;${String(D20 / 2).replace(".", ",")};false\n15;2;1,9;0,02;;true\n`;
    const ran = await passes(["-", "--limit", "0"], csv);
    expect(ran.err).toBe("");
    const [first, second] = lines(ran) as [Line, Line];
    /** Bearing of one exit radius adds 2m/√3 to the bound; B leaves it out. */
    expect(first["centreline_stress_ratio"]).toBeCloseTo(0.6042, 3);
    expect(first["limit"]).toBe(0);
    expect(second).toMatchObject({
      in_fitted_range: false,
      centreline_stress_ratio: null,
      damage_sum: null,
      risk: null,
    });
    expect((second["outside"] as Line)["centreline_stress_ratio"]).toMatch(/outside the verified/);
  });

  test("one object alone, and help", async () => {
    const one = await passes([
      file("one.json", { semi_angle_deg: 6, d_in_mm: 5, d_out_mm: 4.5, friction_m: 0, name: "W-1" }),
    ]);
    expect([one.code, lines(one)]).toEqual([0, [expect.objectContaining({ shear_factor: 0 })]]);
    const help = await passes(["--help"]);
    expect([help.code, help.out]).toEqual([0, expect.stringMatching(/^Usage: npm run -s passes/)]);
  });

  const good = { semi_angle_deg: 8, d_in_mm: 2, d_out_mm: 1.8, friction_m: 0.1 };
  test.each<readonly [string, string, unknown, RegExp]>([
    ["text that is not JSON", "bad.json", "[{", /bad\.json: line 1, column 3: this is not JSON/],
    ["an empty file", "empty.csv", " \n", /empty\.csv: it is empty/],
    ["a list of numbers", "numbers.json", [1], /\[0\]: a pass is an object/],
    ["a missing field", "missing.json", [good, { ...good, d_in_mm: null }], /\[1\]: d_in_mm: It is missing/],
    [
      "a text for a number",
      "text.csv",
      "semi_angle_deg,d_in_mm,d_out_mm,mu\nsix,2,1.8,0.1\n",
      /line 2: semi_angle_deg: It must be a number/,
    ],
    ["a row too long", "long.csv", "semi_angle_deg,d_in_mm\n6,2,1\n", /line 2: it has 3 cells/],
    ["an unknown field", "key.json", { ...good, colour: 1 }, /\[0\]: colour: This field is not known/],
    ["both kinds of friction", "both.json", { ...good, mu: 0.1 }, /friction_m: Give friction_m/],
    ["a wire that grows", "grow.json", { ...good, d_out_mm: 2.1 }, /d_out_mm: The diameter after a die is smaller/],
    ["friction beyond sticking", "stick.json", { ...good, friction_m: 2 }, /friction: A shear factor lies/],
    [
      "a word for an anneal",
      "anneal.json",
      { ...good, anneal_before: "yes" },
      /anneal_before: It must be true or false/,
    ],
  ])("%s: exit 2, place and field named, nothing computed", async (_what, name, contents, message) => {
    const ran = await passes([file(name, contents)]);
    expect([ran.code, ran.out]).toEqual([2, ""]);
    expect(ran.err).toMatch(message);
    expect(ran.err).not.toMatch(/ {4}at |node_modules/);
  });

  test.each([
    [["--fast"], /No option is called --fast/],
    [[], /Name one file/],
    [["a.json", "--limit", "x"], /--limit takes a number/],
    [["no-such-file.json"], /there is no such file/],
    [["tests"], /this is a folder/],
  ])("%j: exit 2", async (args, message) => {
    const ran = await passes(args);
    expect([ran.code, ran.out]).toEqual([2, ""]);
    expect(ran.err).toMatch(message);
  });
});
