import { describe, expect, test } from "vitest";
import { readerOf } from "../../../model/picture/byte-reader.ts";
import { readCameraData } from "../../../model/picture/camera-data.ts";
import { omeDensity } from "../../../model/picture/ome-pixel-size.ts";
import { readPictureHeader } from "../../../model/picture/sniff.ts";
import { page, tiff, type TiffField } from "./small-files.ts";

// OME Data Model 2016-06: Pixels with PhysicalSizeX, PhysicalSizeXUnit (default µm).
const ome = (attributes: string) =>
  `<?xml version="1.0" encoding="UTF-8"?><OME xmlns="http://www.openmicroscopy.org/Schemas/OME/2016-06"><Image ID="Image:0"><Pixels ID="Pixels:0" ${attributes} SizeX="6"></Pixels></Image></OME>`;
const size = (x: string, y = x, unit = "") =>
  `PhysicalSizeX="${x}" PhysicalSizeY="${y}"` +
  (unit ? ` PhysicalSizeXUnit="${unit}" PhysicalSizeYUnit="${unit}"` : "");

describe("pixel size in OME-XML", () => {
  test.each([
    ["micrometres, in UTF-8", size("0.5", "0.5", "\xc2\xb5m"), 2e6],
    ["micrometres, as an escape", size("0.5", "0.5", "&#181;m"), 2e6],
    ["no unit: the schema's micrometres", size("0.5"), 2e6],
    ["nanometres", size("325", "325", "nm"), 1 / 325e-9],
    ["millimetres, with an exponent", size("5e-4", "5e-4", "mm"), 2e6],
    ["single quotes", size("0.5").replaceAll('"', "'"), 2e6],
  ])("%s", (_, attributes, perMetre) => {
    const density = omeDensity(ome(attributes));
    expect(density).toMatchObject({ unit: "m", from: "OME-XML pixel size" });
    expect(density?.x).toBeCloseTo(perMetre, 0);
    expect(density?.y).toBeCloseTo(perMetre, 0);
  });

  test.each([
    ["a document type", ome(size("0.5")).replace("?>", '?><!DOCTYPE OME [<!ENTITY a "b">]>')],
    ["an entity", ome(size("0.5")).replace("?>", '?><!ENTITY a "b">')],
    ["no size", ome("")],
    ["no Pixels", "<OME></OME>"],
    ["not OME", '<html><Pixels PhysicalSizeX="1" PhysicalSizeY="1"></html>'],
    ["no XML", "a photograph of OME"],
    ["a size that is no number", ome(size("&big;"))],
    ["an unknown unit", ome(size("0.5", "0.5", "pixel"))],
    ["an element without end", `<OME><Pixels ${size("0.5")} ${"x".repeat(9_000)}`],
  ])("nothing is taken from %s", (_, text) => {
    expect(omeDensity(text)).toBeNull();
  });

  const described = (text: string): TiffField => [270, 2, [...text, "\0"].map((c) => c.charCodeAt(0))];
  const hintOf = async (text: string, more: TiffField[] = []) => {
    const file = tiff(page(6, 5, { more: [described(text), ...more] }), { blocks: [new Uint8Array(30)] });
    const reader = readerOf(file);
    return (await readCameraData(reader, await readPictureHeader(reader))).hint;
  };

  test("it is a hint, before the print size of the same file", async () => {
    const print: TiffField[] = [
      [282, 5, [8_000, 1]],
      [283, 5, [8_000, 1]],
      [296, 3, [2]],
    ];
    const hint = await hintOf(ome(size("0.5")), print);
    expect(hint?.pxPerMm).toBeCloseTo(2_000, 6);
    expect(hint?.reason).toMatch(/^OME-XML pixel size says 2000 px\/mm\. It is a hint only/);
  });

  test.each([
    ["sides that differ by more than 1 %", size("0.5", "0.51")],
    ["one side alone", 'PhysicalSizeX="0.5"'],
    ["zero", size("0")],
    ["one pixel a millimetre, which is what programs write for not known", size("1", "1", "mm")],
  ])("no hint from %s", async (_, attributes) => {
    expect(await hintOf(ome(attributes))).toBeNull();
  });
});
