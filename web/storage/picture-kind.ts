/** The kinds of photograph a bench file may carry. */
export interface PictureKind {
  readonly mediaType: "image/jpeg" | "image/png" | "image/webp" | "image/bmp" | "image/tiff";
  readonly extension: "jpg" | "png" | "webp" | "bmp" | "tif";
}

const KINDS: readonly { readonly kind: PictureKind; readonly starts: readonly (number | null)[] }[] = [
  { kind: { mediaType: "image/jpeg", extension: "jpg" }, starts: [0xff, 0xd8, 0xff] },
  {
    kind: { mediaType: "image/png", extension: "png" },
    starts: [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a],
  },
  {
    kind: { mediaType: "image/webp", extension: "webp" },
    starts: [0x52, 0x49, 0x46, 0x46, null, null, null, null, 0x57, 0x45, 0x42, 0x50],
  },
  { kind: { mediaType: "image/tiff", extension: "tif" }, starts: [0x49, 0x49, 0x2a, 0x00] },
  { kind: { mediaType: "image/tiff", extension: "tif" }, starts: [0x4d, 0x4d, 0x00, 0x2a] },
  { kind: { mediaType: "image/tiff", extension: "tif" }, starts: [0x49, 0x49, 0x2b, 0x00] },
  { kind: { mediaType: "image/tiff", extension: "tif" }, starts: [0x4d, 0x4d, 0x00, 0x2b] },
  { kind: { mediaType: "image/bmp", extension: "bmp" }, starts: [0x42, 0x4d] },
];

/**
 * Kind of a photograph by its first bytes; what a file says about itself is not trusted.
 *
 * @returns null when the bytes are none of the kinds.
 */
export function pictureKind(bytes: Uint8Array): PictureKind | null {
  const found = KINDS.find(
    ({ starts }) => bytes.length >= starts.length && starts.every((byte, i) => byte === null || byte === bytes[i]),
  );
  return found?.kind ?? null;
}

/** Whether bytes are text that a browser could run: markup (SVG, HTML, XML) after an optional byte order mark. */
export function looksLikeMarkup(bytes: Uint8Array): boolean {
  const start = new TextDecoder("utf-8").decode(bytes.subarray(0, 1024)).replaceAll("\0", "");
  return /^[\s\uFEFF\uFFFD]*</.test(start);
}
