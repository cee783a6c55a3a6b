import { describe, expect, test } from "vitest";
import { proposeFiling, type ProposedBreak, type Shot } from "../../model/break/filing.ts";
import fc from "../properties.ts";

let next = 0;
function shot(relativePath: string, capturedAt: string | null = null): Shot {
  const fileName = relativePath.split("/").at(-1) ?? "";
  return { id: `s${String(next++)}`, fileName, relativePath, capturedAt, widthPx: 4000, heightPx: 3000 };
}

/** "number: name→end/view, …" per break, so that a test reads like the proposal on the screen. */
function told(shots: readonly Shot[], breaks: readonly ProposedBreak[]): string[] {
  const name = new Map(shots.map((s) => [s.id, s.fileName]));
  return breaks.map(({ number, filed }) => {
    const list = filed.map((f) => `${name.get(f.shotId) ?? "?"}→${f.side}/${f.view}`);
    return `${number ?? "next"}: ${list.join(", ")}`;
  });
}
const propose = (shots: readonly Shot[]) => told(shots, proposeFiling(shots));

describe("numbers in names", () => {
  test("a number in the file name makes one break of all that carry it", () => {
    const shots = [
      shot("D-003 M end-on.jpg"),
      shot("D-003 M side0.jpg"),
      shot("D-003 T endon.jpg"),
      shot("D-004 M face.jpg"),
    ];
    expect(propose(shots)).toEqual([
      "D-003: D-003 M side0.jpg→machine/side_0, D-003 M end-on.jpg→machine/end_on, D-003 T endon.jpg→takeUp/end_on",
      "D-004: D-004 M face.jpg→machine/end_on",
    ]);
  });

  test("leading zeros and separators do not part a break", () => {
    const shots = [shot("B_0412 machine 01.jpg"), shot("b-412 take-up 02.jpg")];
    expect(propose(shots)).toEqual([
      "B-0412: B_0412 machine 01.jpg→machine/end_on, b-412 take-up 02.jpg→takeUp/end_on",
    ]);
  });

  test("a date with a running number is a break number", () => {
    const shots = [shot("2026-11-03-2_spool_tilt.png"), shot("2026-11-03-2_m_section_long.png")];
    expect(propose(shots)).toEqual([
      "2026-11-03-2: 2026-11-03-2_m_section_long.png→machine/section_long, 2026-11-03-2_spool_tilt.png→takeUp/tilt_45",
    ]);
  });

  test("the clock time in a phone's file name is no break number", () => {
    expect(propose([shot("2026-11-03 14.05.09.jpg")])).toEqual(["next: 2026-11-03 14.05.09.jpg→machine/end_on"]);
    expect(propose([shot("IMG_20261103_140509.jpg")])).toEqual(["next: IMG_20261103_140509.jpg→machine/end_on"]);
  });

  test("a number in the folder counts for the files in it and below it", () => {
    const shots = [
      shot("Week 45/D-017/machine/IMG_0001.jpg"),
      shot("Week 45/D-017/machine/IMG_0002.jpg"),
      shot("Week 45/D-017/take-up/IMG_0003.jpg"),
    ];
    expect(propose(shots)).toEqual([
      "D-017: IMG_0001.jpg→machine/end_on, IMG_0002.jpg→machine/side_0, IMG_0003.jpg→takeUp/end_on",
    ]);
  });

  test("a folder without a number holds one break, with its end folders", () => {
    const shots = [
      shot("monday night/machine end/IMG_0010.jpg"),
      shot("monday night/spool/IMG_0011.jpg"),
      shot("loose wire/IMG_0012.jpg"),
    ];
    expect(propose(shots)).toEqual([
      "next: IMG_0010.jpg→machine/end_on, IMG_0011.jpg→takeUp/end_on",
      "next: IMG_0012.jpg→machine/end_on",
    ]);
  });

  test("a camera's counter with a word before it is not one break per photograph", () => {
    const shots = [1, 2, 3, 4].map((n) => shot(`bench_000${String(n)}.jpg`, `2026-11-03T10:00:0${String(n)}`));
    expect(propose(shots)).toEqual([
      "next: bench_0001.jpg→machine/end_on, bench_0002.jpg→machine/side_0, " +
        "bench_0003.jpg→takeUp/end_on, bench_0004.jpg→takeUp/side_0",
    ]);
  });
});

describe("ends and views in names", () => {
  const one = (name: string) => {
    const filed = proposeFiling([shot(name)])[0]?.filed[0];
    return filed && `${filed.side}/${filed.view}`;
  };

  test.each([
    ["D-001 machine.jpg", "machine/end_on"],
    ["D-001_M.jpg", "machine/end_on"],
    ["D-001 T.jpg", "takeUp/end_on"],
    ["D-001 TU.jpg", "takeUp/end_on"],
    ["D-001 take_up.jpg", "takeUp/end_on"],
    ["D-001 takeup side.jpg", "takeUp/side_0"],
    ["D-001 spool.jpg", "takeUp/end_on"],
    ["D-001 S.jpg", "takeUp/end_on"],
    ["D-001 M S.jpg", "machine/side_0"],
    ["D-001 left.jpg", "machine/end_on"],
    ["D-001 right.jpg", "takeUp/end_on"],
    ["D-001 end1.jpg", "machine/end_on"],
    ["D-001 end 2.jpg", "takeUp/end_on"],
    ["D-001a.jpg", "machine/end_on"],
    ["D-001b.jpg", "takeUp/end_on"],
    ["D-001 T 90deg.jpg", "takeUp/side_90"],
    ["D-001 T 0°.jpg", "takeUp/side_0"],
    ["D-001 T side90.jpg", "takeUp/side_90"],
    ["D-001 T tilt45.jpg", "takeUp/tilt_45"],
    ["D-001 T tilted.jpg", "takeUp/tilt_45"],
    ["D-001 T trans section.jpg", "takeUp/section_trans"],
    ["D-001 T longitudinal.jpg", "takeUp/section_long"],
    ["D-001 T surface.jpg", "takeUp/surface"],
    ["D-001 both ends.jpg", "machine/both_ends"],
    ["D-001 M end-on.jpg", "machine/end_on"],
    ["D-001 machine end end-on.jpg", "machine/end_on"],
  ])("%s is %s", (name, expected) => {
    expect(one(name)).toBe(expected);
  });

  test("two plain side views become 0° and 90°", () => {
    const shots = [shot("D-1 m 1 side.jpg"), shot("D-1 m 2 side.jpg")].map((s) => ({
      ...s,
      fileName: s.fileName.replace("D-1", "D-01"),
    }));
    expect(propose(shots)).toEqual(["D-01: D-01 m 1 side.jpg→machine/side_0, D-01 m 2 side.jpg→machine/side_90"]);
  });

  test("what is only taken for granted says so", () => {
    const [left] = proposeFiling([shot("D-001 left side.jpg")])[0]?.filed ?? [];
    expect(left?.why).toBe("“left” is taken for the machine end; view by “side”");
    expect(left?.confidence).toBe("likely");
    const [order] = proposeFiling([shot("DSC_0001.jpg")])[0]?.filed ?? [];
    expect(order?.why).toBe("end by order, machine end first; view by order");
    expect(order?.confidence).toBe("guess");
  });

  test("an unmarked shot goes with the one before it", () => {
    const shots = [shot("D-002 T 01.jpg", "2026-11-03T10:00:00"), shot("D-002 02.jpg", "2026-11-03T10:00:05")];
    expect(propose(shots)).toEqual(["D-002: D-002 T 01.jpg→takeUp/end_on, D-002 02.jpg→takeUp/side_0"]);
  });
});

describe("capture times", () => {
  const at = (n: number, time: string) => shot(`IMG_00${String(n)}.jpg`, `2026-11-03T${time}`);

  test("a pause parts two breaks, machine end first, end-on before side", () => {
    const shots = [
      at(10, "10:00:00"),
      at(11, "10:00:20"),
      at(12, "10:00:45"),
      at(13, "10:01:05"),
      at(14, "10:12:00"),
      at(15, "10:12:30"),
    ];
    expect(propose(shots)).toEqual([
      "next: IMG_0010.jpg→machine/end_on, IMG_0011.jpg→machine/side_0, " +
        "IMG_0012.jpg→takeUp/end_on, IMG_0013.jpg→takeUp/side_0",
      "next: IMG_0014.jpg→machine/end_on, IMG_0015.jpg→takeUp/end_on",
    ]);
  });

  test("slow work is not torn apart: the pause that parts grows with the usual one", () => {
    const minutes = [0, 4, 8, 13, 60, 64];
    const shots = minutes.map((m, i) =>
      at(20 + i, `1${String(Math.floor(m / 60))}:${String(m % 60).padStart(2, "0")}:00`),
    );
    expect(proposeFiling(shots).map(({ filed }) => filed.length)).toEqual([4, 2]);
    expect(proposeFiling(shots, { gapFactor: 0 }).map(({ filed }) => filed.length)).toEqual([1, 1, 1, 1, 1, 1]);
  });

  test("times with and without offset are compared by the camera's own clock", () => {
    const shots = [shot("a_x.jpg", "2026-11-03T10:00:00.25+01:00"), shot("b_x.jpg", "2026-11-03T10:00:10")];
    expect(proposeFiling(shots)).toHaveLength(1);
  });

  test("without times the counter keeps neighbours together", () => {
    const shots = [1, 2, 4, 20, 21].map((n) => shot(`DSC_00${String(n).padStart(2, "0")}.jpg`));
    const breaks = proposeFiling(shots);
    expect(breaks.map(({ filed }) => filed.length)).toEqual([3, 2]);
    expect(breaks[0]?.confidence).toBe("guess");
  });

  test("a folder of a whole day is parted by time", () => {
    const shots = Array.from({ length: 14 }, (_, i) => {
      const minute = i < 7 ? "00" : "30";
      return shot(`tuesday/IMG_${String(100 + i)}.jpg`, `2026-11-03T10:${minute}:${String(10 + i)}`);
    });
    expect(proposeFiling(shots).map(({ filed }) => filed.length)).toEqual([7, 7]);
  });
});

describe("properties", () => {
  const word = fc.constantFrom(
    "D-003",
    "B_0412",
    "IMG",
    "0012",
    "7",
    "machine",
    "T",
    "s",
    "side",
    "end-on",
    "x",
    "2026-11-03-2",
  );
  const path = fc
    .tuple(fc.array(word, { maxLength: 2 }), fc.array(word, { minLength: 1, maxLength: 4 }))
    .map(([folders, parts]) => [...folders, `${parts.join("_")}.jpg`].join("/"));
  const time = fc.option(
    fc
      .integer({ min: 0, max: 86_399 })
      .map((s) => new Date(Date.UTC(2026, 10, 3) + s * 1000).toISOString().slice(0, 19)),
  );
  const shots = fc.array(fc.tuple(path, time), { maxLength: 25 }).map((list) => list.map(([p, t]) => shot(p, t)));

  test("every shot is in exactly one break and no break is empty", () => {
    fc.assert(
      fc.property(shots, (list) => {
        const breaks = proposeFiling(list);
        expect(breaks.flatMap(({ filed }) => filed.map((f) => f.shotId)).sort()).toEqual(list.map((s) => s.id).sort());
        expect(breaks.every(({ filed, why }) => filed.length > 0 && why.length > 5)).toBe(true);
      }),
    );
  });

  test("the order of the input does not matter", () => {
    fc.assert(
      fc.property(shots, fc.infiniteStream(fc.nat()), (list, keys) => {
        const key = new Map(list.map((s) => [s.id, keys.next().value as number]));
        const other = [...list].sort((a, b) => (key.get(a.id) ?? 0) - (key.get(b.id) ?? 0));
        expect(proposeFiling(other)).toEqual(proposeFiling(list));
      }),
    );
  });

  test("no number is proposed twice", () => {
    fc.assert(
      fc.property(shots, (list) => {
        const numbers = proposeFiling(list).flatMap(({ number }) => (number === null ? [] : [number.toLowerCase()]));
        expect(new Set(numbers).size).toBe(numbers.length);
      }),
    );
  });
});
