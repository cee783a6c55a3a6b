import { PictureError } from "./picture-error.ts";

const cut = () => new PictureError("truncated", "The picture is cut off or damaged inside.");
const broken = () => new PictureError("damaged", "The picture is damaged: its packed data make no sense.");

/** Lengths 257–285 and distances 0–29: base and extra bits. @source RFC 1951 (1996), 3.2.5. */
const LENGTH_BASE = [
  3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 15, 17, 19, 23, 27, 31, 35, 43, 51, 59, 67, 83, 99, 115, 131, 163, 195, 227, 258,
];
const LENGTH_EXTRA = [0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4, 5, 5, 5, 5, 0];
const DISTANCE_BASE = [
  1, 2, 3, 4, 5, 7, 9, 13, 17, 25, 33, 49, 65, 97, 129, 193, 257, 385, 513, 769, 1025, 1537, 2049, 3073, 4097, 6145,
  8193, 12289, 16385, 24577,
];
const DISTANCE_EXTRA = [
  0, 0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6, 7, 7, 8, 8, 9, 9, 10, 10, 11, 11, 12, 12, 13, 13,
];
/** Order in which the lengths of the code lengths are stored. @source RFC 1951 (1996), 3.2.7. */
const ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];
const LONGEST = 15;

/** Symbol and code length by the next bits of the stream, lowest bit first: symbol × 16 + length, 0 = no such code. */
interface Codes {
  readonly table: Uint16Array;
  readonly bits: number;
}

/** @source RFC 1951 (1996), 3.2.2. */
function codesOf(lengths: Uint8Array): Codes {
  const counts = new Uint16Array(LONGEST + 1);
  for (const length of lengths) counts[length]!++;
  counts[0] = 0;
  let bits = LONGEST;
  while (bits > 1 && counts[bits] === 0) bits--;
  const next = new Uint16Array(LONGEST + 2);
  let code = 0;
  for (let length = 1; length <= LONGEST; length++) {
    code = (code + counts[length - 1]!) << 1;
    if (code + counts[length]! > 1 << length) throw broken();
    next[length] = code;
  }
  const table = new Uint16Array(1 << bits);
  for (let symbol = 0; symbol < lengths.length; symbol++) {
    const length = lengths[symbol]!;
    if (length === 0) continue;
    let forward = next[length]!++;
    let reversed = 0;
    for (let i = 0; i < length; i++, forward >>= 1) reversed = (reversed << 1) | (forward & 1);
    for (let at = reversed; at < table.length; at += 1 << length) table[at] = (symbol << 4) | length;
  }
  return { table, bits };
}

const FIXED_LENGTHS = codesOf(
  Uint8Array.from({ length: 288 }, (_, i) => (i < 144 ? 8 : i < 256 ? 9 : i < 280 ? 7 : 8)),
);
const FIXED_DISTANCES = codesOf(new Uint8Array(30).fill(5));

/**
 * Unpacks zlib data. The platform does the same, but takes a millisecond to begin, and many TIFFs hold thousands of strips.
 * @returns exactly `length` bytes; never more, whatever the data ask for. What follows the last needed byte is not read.
 * @throws PictureError truncated, damaged.
 * @source RFC 1950 and RFC 1951 (1996).
 */
export function unpackDeflate(packed: Uint8Array, length: number): Uint8Array<ArrayBuffer> {
  if (packed.length < 2) throw cut();
  const [method, flags] = [packed[0]!, packed[1]!];
  if ((method & 15) !== 8 || (method * 256 + flags) % 31 !== 0 || (flags & 32) !== 0) throw broken();
  return new Inflating(packed, 2, length).run();
}

class Inflating {
  readonly #packed: Uint8Array;
  readonly #out: Uint8Array<ArrayBuffer>;
  #at: number;
  #filled = 0;
  #held = 0;
  #bits = 0;

  constructor(packed: Uint8Array, at: number, length: number) {
    this.#packed = packed;
    this.#at = at;
    this.#out = new Uint8Array(length);
  }

  run(): Uint8Array<ArrayBuffer> {
    for (let last = false; this.#filled < this.#out.length;) {
      if (last) throw cut();
      last = this.#take(1) === 1;
      const kind = this.#take(2);
      if (kind === 0) this.#stored();
      else if (kind === 1) this.#coded(FIXED_LENGTHS, FIXED_DISTANCES);
      else if (kind === 2) this.#coded(...this.#ownCodes());
      else throw broken();
    }
    return this.#out;
  }

  #take(count: number): number {
    while (this.#bits < count) {
      if (this.#at >= this.#packed.length) throw cut();
      this.#held |= this.#packed[this.#at++]! << this.#bits;
      this.#bits += 8;
    }
    const value = this.#held & ((1 << count) - 1);
    this.#held >>>= count;
    this.#bits -= count;
    return value;
  }

  #symbol({ table, bits }: Codes): number {
    while (this.#bits < bits && this.#at < this.#packed.length) {
      this.#held |= this.#packed[this.#at++]! << this.#bits;
      this.#bits += 8;
    }
    const entry = table[this.#held & ((1 << bits) - 1)]!;
    const used = entry & 15;
    if (used === 0) throw this.#at >= this.#packed.length ? cut() : broken();
    if (used > this.#bits) throw cut();
    this.#held >>>= used;
    this.#bits -= used;
    return entry >> 4;
  }

  #stored(): void {
    this.#at -= this.#bits >> 3;
    this.#held = 0;
    this.#bits = 0;
    const head = this.#at;
    if (head + 4 > this.#packed.length) throw cut();
    const count = this.#packed[head]! | (this.#packed[head + 1]! << 8);
    if ((count ^ 0xffff) !== (this.#packed[head + 2]! | (this.#packed[head + 3]! << 8))) throw broken();
    const wanted = Math.min(count, this.#out.length - this.#filled);
    if (head + 4 + wanted > this.#packed.length) throw cut();
    this.#out.set(this.#packed.subarray(head + 4, head + 4 + wanted), this.#filled);
    this.#filled += wanted;
    this.#at = head + 4 + count;
  }

  #ownCodes(): [Codes, Codes] {
    const lengths = this.#take(5) + 257;
    const distances = this.#take(5) + 1;
    const orders = this.#take(4) + 4;
    const order = new Uint8Array(19);
    for (let i = 0; i < orders; i++) order[ORDER[i]!] = this.#take(3);
    const codes = codesOf(order);
    const all = new Uint8Array(lengths + distances);
    for (let i = 0; i < all.length;) {
      const symbol = this.#symbol(codes);
      if (symbol < 16) {
        all[i++] = symbol;
        continue;
      }
      if (symbol === 16 && i === 0) throw broken();
      const value = symbol === 16 ? all[i - 1]! : 0;
      const count = symbol === 16 ? 3 + this.#take(2) : symbol === 17 ? 3 + this.#take(3) : 11 + this.#take(7);
      if (i + count > all.length) throw broken();
      all.fill(value, i, i + count);
      i += count;
    }
    return [codesOf(all.subarray(0, lengths)), codesOf(all.subarray(lengths))];
  }

  /** The inner loop; what it reads and writes most is held in variables of its own. */
  #coded(lengths: Codes, distances: Codes): void {
    const packed = this.#packed;
    const out = this.#out;
    const end = out.length;
    const { table } = lengths;
    const mask = (1 << lengths.bits) - 1;
    // Room for the longest code in one go; near the end of the stream the careful reading above takes over.
    const safe = packed.length - 3;
    let filled = this.#filled;
    let held = this.#held;
    let bits = this.#bits;
    let at = this.#at;
    while (filled < end) {
      let symbol: number;
      if (at < safe) {
        if (bits < LONGEST) {
          held |= (packed[at]! | (packed[at + 1]! << 8)) << bits;
          at += 2;
          bits += 16;
        }
        const entry = table[held & mask]!;
        const used = entry & 15;
        if (used === 0) throw broken();
        held >>>= used;
        bits -= used;
        symbol = entry >> 4;
      } else {
        this.#keep(filled, held, bits, at);
        symbol = this.#symbol(lengths);
        held = this.#held;
        bits = this.#bits;
        at = this.#at;
      }
      if (symbol < 256) {
        out[filled++] = symbol;
        continue;
      }
      this.#keep(filled, held, bits, at);
      if (symbol === 256) return;
      if (symbol > 285) throw broken();
      const count = LENGTH_BASE[symbol - 257]! + this.#take(LENGTH_EXTRA[symbol - 257]!);
      const code = this.#symbol(distances);
      if (code > 29) throw broken();
      const back = DISTANCE_BASE[code]! + this.#take(DISTANCE_EXTRA[code]!);
      held = this.#held;
      bits = this.#bits;
      at = this.#at;
      if (back > filled) throw broken();
      const stop = Math.min(end, filled + count);
      for (let from = filled - back; filled < stop; from++, filled++) out[filled] = out[from]!;
    }
    this.#keep(filled, held, bits, at);
  }

  #keep(filled: number, held: number, bits: number, at: number): void {
    this.#filled = filled;
    this.#held = held;
    this.#bits = bits;
    this.#at = at;
  }
}
