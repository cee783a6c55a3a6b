import { readFile, readdir } from "node:fs/promises";
import { join } from "node:path";
import sharp from "sharp";
import type { BrowserCommand } from "vitest/node";
import { realData } from "../real-data.ts";
import { SHAPES, makePicture } from "./make-picture.ts";

const FOLDERS = ["png-suite", "orientation", "resolution-tags", "bit-depth", "corrupt", "metal-surface", "scale"];
const PICTURE = /\.(jpe?g|png|gif|tiff?)$/i;

/** Names of the real pictures, "folder/file"; empty when the folder isn't there. Runs in Node for tests in the browser. */
export const realPictureNames: BrowserCommand<[]> = async (): Promise<string[]> => {
  const root = realData();
  if (root === null) return [];
  const names: string[] = [];
  for (const folder of FOLDERS) {
    const files = (await readdir(join(root, folder))).filter((name) => PICTURE.test(name)).sort();
    // The metal surfaces are all alike to a decoder: every seventh is sample enough.
    const some = folder === "metal-surface" ? files.filter((_, i) => i % 7 === 0) : files;
    names.push(...some.map((name) => `${folder}/${name}`));
  }
  return names;
};

/** One real picture, base64. */
export const realPicture: BrowserCommand<[name: string]> = async (_, name): Promise<string> => {
  const root = realData();
  if (root === null || !(await knownName(name))) throw new Error(`no real picture ${name}`);
  return (await readFile(join(root, name))).toString("base64");
};

async function knownName(name: string): Promise<boolean> {
  const [folder = "", file = ""] = name.split("/");
  const root = realData();
  return root !== null && FOLDERS.includes(folder) && (await readdir(join(root, folder))).includes(file);
}

/** Pixels of a real picture as another decoder (sharp) has them, upright: rows × columns × RGB, base64. */
export const realPixels: BrowserCommand<[name: string]> = async (_, name): Promise<string> => {
  const root = realData();
  if (root === null || !(await knownName(name))) throw new Error(`no real picture ${name}`);
  const image = sharp(join(root, name), { failOn: "none" }).autoOrient().toColourspace("srgb").removeAlpha();
  return (await image.raw().toBuffer()).toString("base64");
};

/** A picture made for a test, base64. */
export const madePicture: BrowserCommand<[shape: string]> = async (_, shape): Promise<string> => {
  if (!(shape in SHAPES)) throw new Error(`no shape ${shape}`);
  return (await makePicture(shape)).toString("base64");
};

declare module "vitest/browser" {
  interface BrowserCommands {
    realPictureNames: () => Promise<string[]>;
    realPicture: (name: string) => Promise<string>;
    realPixels: (name: string) => Promise<string>;
    madePicture: (shape: string) => Promise<string>;
  }
}
