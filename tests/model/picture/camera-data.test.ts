import { describe, expect, test } from "vitest";
import { readerOf } from "../../../model/picture/byte-reader.ts";
import { captureTime, plainText, readCameraData, type CameraData } from "../../../model/picture/camera-data.ts";
import { resolutionHint } from "../../../model/picture/resolution-hint.ts";
import { readPictureHeader } from "../../../model/picture/sniff.ts";
import { bytes, jpeg, segment, tiff, type TiffField } from "./small-files.ts";

const text = (tag: number, value: string): TiffField => [tag, 2, [...value, "\0"].map((c) => c.charCodeAt(0))];

async function fromExif(block: Uint8Array): Promise<CameraData> {
  const reader = readerOf(jpeg({ before: segment(0xe1, "Exif\0\0", block) }));
  return readCameraData(reader, await readPictureHeader(reader));
}
const fields = (main: TiffField[], inner: TiffField[] = []) =>
  fromExif(tiff(main, { inner: { tag: 0x8769, fields: inner.length > 0 ? inner : [text(0x9000, "0232")] } }));

describe("capture time", () => {
  test("the moment of taking wins over those of digitising and change", async () => {
    const changed = text(0x0132, "2026:11:05 08:00:00");
    const taken = [text(0x9003, "2026:11:03 14:05:09"), text(0x9011, "+01:00"), text(0x9291, "250")];
    const digitised = [text(0x9004, "2026:11:04 09:00:00")];
    expect((await fields([changed], [...taken, ...digitised])).capturedAt).toBe("2026-11-03T14:05:09.25+01:00");
    expect((await fields([changed], digitised)).capturedAt).toBe("2026-11-04T09:00:00");
    expect((await fields([changed])).capturedAt).toBe("2026-11-05T08:00:00");
    expect((await fields([text(0x010f, "x")])).capturedAt).toBeNull();
  });

  test("an impossible moment of taking gives way to the next", async () => {
    const inner = [text(0x9003, "0000:00:00 00:00:00"), text(0x9004, "2026:11:04 09:00:00")];
    expect((await fields([], inner)).capturedAt).toBe("2026-11-04T09:00:00");
  });

  test.each([
    ["2026:11:03 14:05:09", null, null, "2026-11-03T14:05:09"],
    ["2026-11-03T14:05:09", "000", "Z", "2026-11-03T14:05:09Z"],
    ["2024:02:29 00:00:00", null, "-05:30", "2024-02-29T00:00:00-05:30"],
    ["2026:02:29 00:00:00", null, null, null],
    ["2026:13:03 14:05:09", null, null, null],
    ["2026:11:03 24:05:09", null, null, null],
    ["    :  :     :  :  ", null, null, null],
    ["2026:11:03 14:05:09", "x", "+99:00", "2026-11-03T14:05:09"],
    [null, null, null, null],
  ])("%j, %j, %j is %j", (time, fraction, offset, expected) => {
    expect(captureTime(time, fraction, offset)).toBe(expected);
  });
});

describe("orientation, maker and model", () => {
  test("are read, cleaned and capped", async () => {
    const data = await fields([
      [0x0112, 3, [6]],
      text(0x010f, " Maker\u0007\u001b[31m"),
      text(0x0110, "M".repeat(300)),
    ]);
    expect(data).toMatchObject({ orientation: 6, make: "Maker[31m", model: "M".repeat(80) });
    expect(plainText("\0x")).toBeNull();
    expect(plainText(" \u0085 ")).toBeNull();
  });

  test.each([0, 9, 65_535])("orientation %i counts as upright", async (value) => {
    expect((await fields([[0x0112, 3, [value]]])).orientation).toBe(1);
  });

  test("text in a number field is no orientation", async () => {
    expect((await fields([text(0x0112, "\u0006")])).orientation).toBe(1);
  });
});

describe("damaged camera data never cost the photograph", () => {
  const whole = tiff([[0x0112, 3, [6]], text(0x010f, "A maker of cameras")], {
    inner: { tag: 0x8769, fields: [text(0x9003, "2026:11:03 14:05:09")] },
  });

  test("cut anywhere", async () => {
    for (let length = 0; length < whole.length; length++) {
      const data = await fromExif(whole.subarray(0, length));
      expect([1, 6]).toContain(data.orientation);
    }
    expect((await fromExif(whole)).capturedAt).toBe("2026-11-03T14:05:09");
  });

  test("a link out of the block loses only what lies behind it", async () => {
    const data = await fromExif(
      tiff([
        [0x0112, 3, [8]],
        [0x8769, 4, [60_000]],
      ]),
    );
    expect(data).toEqual({ orientation: 8, capturedAt: null, make: null, model: null, hint: null });
  });

  test("no block at all", async () => {
    const reader = readerOf(jpeg());
    const data = await readCameraData(reader, await readPictureHeader(reader));
    expect(data).toEqual({ orientation: 1, capturedAt: null, make: null, model: null, hint: null });
    expect((await fromExif(bytes("nothing of the kind"))).orientation).toBe(1);
  });
});

describe("resolution is a hint and never a scale", () => {
  const density = (x: number, y: number, unit: "inch" | "cm" | "m" = "inch") => ({ x, y, unit, from: "tags" });

  test("a value of a microscope is offered with its reason", () => {
    const hint = resolutionHint(density(5_080, 5_080));
    expect(hint?.pxPerMm).toBe(200);
    expect(hint?.reason).toBe("tags says 200.0 px/mm. It is a hint only: check it against the wire diameter.");
    expect(resolutionHint(density(2_000, 2_000, "cm"))?.pxPerMm).toBe(200);
    expect(resolutionHint(density(200_000, 200_000, "m"))?.pxPerMm).toBe(200);
  });

  test.each([
    ["0/0", density(NaN, NaN)],
    ["1/0", density(Infinity, Infinity)],
    ["nothing", density(0, 0)],
    ["negative", density(-508, -508)],
    ["unequal sides", density(508, 520)],
    ["72 dpi", density(72, 72)],
    ["300 dpi", density(300, 300)],
    ["300 dpi in metres, rounded", density(11_811, 11_811, "m")],
    ['1 px/mm, a program\'s "not known"', density(10, 10, "cm")],
    ["less than 1 px/mm", density(5, 5, "cm")],
    ["2^32 - 1 dpi", density(4_294_967_295, 4_294_967_295)],
    ["none", null],
  ])("%s is none", (_, stated) => {
    expect(resolutionHint(stated)).toBeNull();
  });

  test("EXIF values are taken when the file itself states none", async () => {
    const stated = (unit: number): TiffField[] => [
      [0x011a, 5, [5_080, 1]],
      [0x011b, 5, [5_080, 1]],
      [0x0128, 3, [unit]],
    ];
    expect((await fields(stated(2))).hint?.pxPerMm).toBe(200);
    expect((await fields(stated(3))).hint?.pxPerMm).toBe(508);
    expect((await fields(stated(1))).hint).toBeNull();
  });
});
