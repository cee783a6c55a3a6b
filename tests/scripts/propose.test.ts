import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { proposalLine } from "../../scripts/propose/proposal-line.ts";

const ROOT = new URL("../..", import.meta.url).pathname;
const FACE = "samples/D-005/D-005_M_end-on.jpg";

interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}
interface Line {
  readonly file: string;
  readonly view: string | null;
  readonly width: number;
  readonly height: number;
  readonly marks: readonly {
    readonly feature: string;
    readonly geometry: { readonly type: string; readonly cx?: number; readonly rx?: number };
    readonly confidence: number;
    readonly measures: Readonly<Record<string, unknown>>;
  }[];
}

function propose(...args: string[]): Promise<Ran> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, ["--import", "tsx", "scripts/propose.ts", ...args], { cwd: ROOT });
    let [out, err] = ["", ""];
    child.stdout.setEncoding("utf8").on("data", (text: string) => (out += text));
    child.stderr.setEncoding("utf8").on("data", (text: string) => (err += text));
    child.on("error", reject);
    child.on("close", (code) => resolve({ code, out, err }));
  });
}

let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "endpair-propose-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("npm run propose", () => {
  it("names what it cannot read, does the others, and says so in its exit code", async () => {
    const whole = readFileSync(join(ROOT, FACE));
    const cut = join(folder, "cut.jpg");
    writeFileSync(cut, whole.subarray(0, 40_000));
    const text = join(folder, "notes.jpg");
    writeFileSync(text, "Not a picture.");
    const missing = join(folder, "missing.jpg");
    const bomb = join(folder, "bomb.png");
    // A header that states 30,000 × 30,000 px, with its check sum; ISO/IEC 15948:2004, 11.2.2.
    writeFileSync(bomb, Buffer.from("89504e470d0a1a0a0000000d4948445200007530000075300802000000c81ad6f4", "hex"));
    const ran = await propose(missing, text, cut, bomb, FACE, "--px-per-mm", "427.5");
    expect(ran.code).toBe(1);
    for (const file of [missing, text, cut, bomb]) expect(ran.err).toContain(`${file}: `);
    expect(ran.err).toMatch(/missing\.jpg: There is no such file\./);
    expect(ran.err).toMatch(/notes\.jpg: .*\(not-a-picture\)/);
    expect(ran.err).toMatch(/cut\.jpg: .*\(truncated\)/);
    expect(ran.err).toMatch(/bomb\.png: .*\((too-large|damaged)\)/);
    const lines = ran.out.trim().split("\n");
    expect(lines).toHaveLength(1);
    const line = JSON.parse(lines[0] ?? "") as Line;
    expect(line).toMatchObject({ file: FACE, view: "end_on", width: 2400, height: 1800 });
    expect(line.marks.map((m) => m.feature)).toEqual(expect.arrayContaining(["wire_outline", "end_hole"]));
    const outline = line.marks.find((m) => m.feature === "wire_outline");
    // The sheet of this demo break (rendered): 684 px, 3.2 mm.
    expect(Math.abs((outline?.geometry.rx ?? 0) / 684 - 1)).toBeLessThan(0.01);
    expect(Math.abs(Number(outline?.measures["d0_mm"]) - 3.2)).toBeLessThan(0.04);
    const hole = line.marks.find((m) => m.feature === "end_hole");
    expect(hole?.geometry.type).toBe("polygon");
    expect(hole?.measures["hole_d_over_D"]).toBeGreaterThan(0.3);
  });
  it.each([
    [["--view", "above", FACE], /--view is "end" or "side"/],
    [["--sharpen", FACE], /no option --sharpen/],
  ] as const)("refuses %j", async (args, words) => {
    const ran = await propose(...args);
    expect(ran.code).toBe(2);
    expect(ran.out).toBe("");
    expect(ran.err).toMatch(words);
  });
});

describe("the printed line", () => {
  it("bounds both edges of a side view by one polygon, and measures them", () => {
    const line = proposalLine({
      file: "a.jpg",
      view: "side_0",
      widthPx: 800,
      heightPx: 600,
      pxPerMm: 100,
      axisDeg: 0,
      says: null,
      marks: [
        {
          feature: "wire_outline",
          geometry: {
            type: "edges",
            points: [
              [0, 200],
              [400, 200],
              [0, 360],
              [400, 360],
            ],
          },
          confidence: 0.9,
          finder: "side 1",
        },
      ],
    });
    expect(line.marks[0]?.geometry).toEqual({
      type: "polygon",
      points: [
        [0, 200],
        [400, 200],
        [400, 360],
        [0, 360],
      ],
    });
    expect(line.marks[0]?.measures["d0_mm"]).toBeCloseTo(1.6, 6);
    expect("says" in line).toBe(false);
  });
  it("says why there is nothing", () => {
    const none = {
      file: "a.jpg",
      view: null,
      widthPx: 9,
      heightPx: 9,
      pxPerMm: null,
      axisDeg: null,
      marks: [],
    } as const;
    expect(proposalLine({ ...none, says: "Nothing." })).toEqual({
      file: "a.jpg",
      view: null,
      width: 9,
      height: 9,
      marks: [],
      says: "Nothing.",
    });
  });
});
