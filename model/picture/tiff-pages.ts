import { latin } from "./byte-reader.ts";
import { LIMITS } from "./limits.ts";
import { PictureError } from "./picture-error.ts";
import type { TiffDirectory, TiffEntry, TiffStream } from "./tiff-directory.ts";
import { numbersOf, readDirectory } from "./tiff-directory.ts";

const SUBFILE = 254;
const OLD_SUBFILE = 255;

/** One directory with its numbers. */
export class Page {
  constructor(
    readonly stream: TiffStream,
    readonly directory: TiffDirectory,
    /** Where the directory lies, bytes from the start. */
    readonly at: number,
  ) {}

  entry(tag: number): TiffEntry | undefined {
    return this.directory.entries.get(tag);
  }

  async list(tag: number, most: number, otherwise: readonly number[]): Promise<readonly number[]> {
    const entry = this.entry(tag);
    if (!entry || entry.count === 0) return otherwise;
    return numbersOf(this.stream, entry, most);
  }

  async number(tag: number, otherwise: number): Promise<number> {
    return (await this.list(tag, 64, [otherwise]))[0] ?? otherwise;
  }

  /** @returns the first `most` bytes of a text, one character per byte; null when there is none. */
  async text(tag: number, most: number): Promise<string | null> {
    const entry = this.entry(tag);
    if (entry?.type !== 2) return null;
    return latin(await this.stream.reader.read(entry.at, Math.min(most, entry.count)));
  }
}

/**
 * Walks the directories of a file. Smaller copies of another page and masks are no pages, nor is anything that hangs
 * inside a page (SubIFDs).
 * @returns the pages in order, and the first directory whatever it is.
 * @throws PictureError directory-loop when a directory is reached twice; too-large, damaged, truncated.
 * @source TIFF 6.0 (1992), section 8: NewSubfileType, bit 0 a smaller copy, bit 2 a mask; SubfileType, 2 a smaller copy.
 */
export async function readPages(
  stream: TiffStream,
): Promise<{ readonly pages: readonly Page[]; readonly first: Page }> {
  const seen = new Set<number>();
  const pages: Page[] = [];
  let first: Page | null = null;
  for (let offset = stream.first; offset !== 0;) {
    if (seen.has(offset)) {
      throw new PictureError("directory-loop", "The pages of this TIFF point at each other in a circle.");
    }
    if (seen.size >= LIMITS.maxPages) {
      throw new PictureError("too-large", `The TIFF has more than ${String(LIMITS.maxPages)} pages.`);
    }
    seen.add(offset);
    const page = new Page(stream, await readDirectory(stream, offset), offset);
    first ??= page;
    if (await isPage(page)) pages.push(page);
    offset = page.directory.next;
  }
  if (!first) throw new PictureError("damaged", "The TIFF is damaged: it has no page.");
  return { pages, first };
}

async function isPage(page: Page): Promise<boolean> {
  return ((await page.number(SUBFILE, 0)) & 5) === 0 && (await page.number(OLD_SUBFILE, 1)) !== 2;
}
