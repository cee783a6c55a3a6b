import sharp from "sharp";

/** Four 24-megapixel JPEGs with metal-like detail, made from seeds: about the size a camera writes. */
export async function makePhotographs(): Promise<readonly Buffer[]> {
  const made: Buffer[] = [];
  for (let seed = 1; seed <= 4; seed++) {
    const [width, height] = [6000, 4000];
    const pixels = new Uint8Array(width * height * 3);
    let state = seed * 2654435761;
    for (let i = 0; i < width * height; i++) {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      const x = i % width;
      const y = (i - x) / width;
      const inside = (x - 3000) ** 2 + (y - 2000) ** 2 < (1500 + 60 * seed) ** 2;
      const grain = (state >>> 24) / 16;
      const base = inside ? 150 + 30 * Math.sin(x / (9 + seed)) * Math.cos(y / 13) : 110;
      pixels[3 * i] = base + grain + (inside ? 30 : 0);
      pixels[3 * i + 1] = base + grain;
      pixels[3 * i + 2] = base + grain - (inside ? 30 : 0);
    }
    made.push(
      await sharp(pixels, { raw: { width, height, channels: 3 } })
        .jpeg({ quality: 88 })
        .toBuffer(),
    );
  }
  return made;
}

const SAMPLES = new URL("../../samples/", import.meta.url).pathname;

/** Face and side of one rendered demo end at 24 megapixels, for finding marks. */
export async function makeEndPhotographs(): Promise<readonly Buffer[]> {
  return Promise.all(
    ["D-003/D-003_M_end-on.jpg", "D-003/D-003_M_side0.jpg"].map((file) =>
      sharp(`${SAMPLES}${file}`).resize({ width: 6000, height: 4000, fit: "cover" }).jpeg({ quality: 90 }).toBuffer(),
    ),
  );
}
