import { readdirSync, readFileSync, existsSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import type { FaceOutline, FacePicture } from "../../model/picture/mating/flat-face.ts";
import { hash01 } from "../render/noise.ts";

type Role = "machine" | "spool";

interface FaceFile {
  readonly path: string;
  readonly outline: FaceOutline;
}

/** A rendered break with an end-on picture of each end. */
export interface TwoFaces {
  readonly id: string;
  readonly type: string;
  readonly metal: string;
  readonly faces: Readonly<Record<Role, FaceFile>>;
}

interface Sheet {
  readonly id: string;
  readonly metal: string;
  readonly ends: readonly {
    readonly role: string;
    readonly photos?: readonly { readonly file: string; readonly view: string }[];
    readonly features?: readonly {
      readonly feature: string;
      readonly state?: string;
      readonly photo?: string;
      readonly geometry?: { readonly type: string } & Partial<FaceOutline>;
    }[];
  }[];
}

const read = (path: string): unknown => JSON.parse(readFileSync(path, "utf8"));

function faceOf(folder: string, sheet: Sheet, role: Role): FaceFile | null {
  const end = sheet.ends.find((e) => e.role === role);
  const photo = end?.photos?.find((p) => p.view === "end_on");
  const drawn = end?.features?.find((f) => f.feature === "wire_outline" && f.photo === photo?.file)?.geometry;
  if (!photo || drawn?.type !== "ellipse") return null;
  const { cx, cy, rx, ry, angle_deg } = drawn;
  if (cx === undefined || cy === undefined || rx === undefined || ry === undefined) return null;
  return { path: join(folder, photo.file), outline: { cx, cy, rx, ry, angle_deg: angle_deg ?? 0 } };
}

/** What a break of a folder is: as rendered, else the number of the sample. */
function typeOf(folder: string, id: string): string {
  const truth = join(folder, "truth.json");
  return existsSync(truth) ? String((read(truth) as { readonly type: unknown }).type) : id;
}

/**
 * Rendered breaks of a corpus whose two ends belong together, are not melted and were both taken end-on.
 *
 * @param folder – one folder per break, with its observation sheet and pictures.
 */
export function breaksWithTwoFaces(folder: string): readonly TwoFaces[] {
  const found: TwoFaces[] = [];
  for (const name of readdirSync(folder).sort()) {
    const path = join(folder, name);
    if (!existsSync(join(path, "sheet.json"))) continue;
    const sheet = read(join(path, "sheet.json")) as Sheet & { readonly context?: { readonly mate?: unknown } };
    const mate = sheet.context?.mate;
    if (mate !== undefined && mate !== "yes" && mate !== true) continue;
    // Melted drops froze after the break: they are no two halves of one face.
    if (
      sheet.ends.some((e) => e.features?.some((f) => f.feature === "melt_bead" && (f.state ?? "present") === "present"))
    )
      continue;
    const [machine, spool] = [faceOf(path, sheet, "machine"), faceOf(path, sheet, "spool")];
    if (machine && spool)
      found.push({ id: sheet.id, type: typeOf(path, sheet.id), metal: sheet.metal, faces: { machine, spool } });
  }
  return found;
}

/** A drawn outline is never exact: middle and axes are off by up to this share of the diameter. */
export const PLACING = 0.005;

/** The picture at the size the bench compares at, with the outline as a hand would draw it. */
export async function readFace({ path, outline }: FaceFile, longestPx: number, seed: number): Promise<FacePicture> {
  const { data, info } = await sharp(path)
    .rotate()
    .resize(longestPx, longestPx, { fit: "inside", withoutEnlargement: true })
    .ensureAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  const { width = info.width, height = info.height, orientation = 1 } = await sharp(path).metadata();
  const by = info.width / (orientation > 4 ? height : width);
  const off = (n: number): number => (hash01(seed, n, 407) - 0.5) * 2 * PLACING * 2 * outline.rx;
  return {
    raster: { widthPx: info.width, heightPx: info.height, rgba: new Uint8Array(data) },
    outline: {
      cx: (outline.cx + off(1)) * by,
      cy: (outline.cy + off(2)) * by,
      rx: (outline.rx + off(3)) * by,
      ry: (outline.ry + off(4)) * by,
      angle_deg: outline.angle_deg,
    },
  };
}
