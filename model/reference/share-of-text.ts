/**
 * A number in [0, 1) that follows from a text alone and spreads evenly: the same on every machine, for ever.
 *
 * @source FNV-1a, 32 bits, twice with different starts (Fowler, Noll & Vo), mixed by the end steps of MurmurHash3
 * (A. Appleby, public domain); from memory. Not for secrets.
 */
export function shareOfText(text: string): number {
  const bytes = utf8(text);
  const high = mixed(fnv(bytes, 0x811c9dc5));
  const low = mixed(fnv(bytes, 0x01000193) ^ high);
  return (high * 2 ** 21 + (low >>> 11)) / 2 ** 53;
}

function fnv(bytes: readonly number[], start: number): number {
  let hash = start;
  for (const byte of bytes) hash = Math.imul(hash ^ byte, 0x01000193);
  return hash >>> 0;
}

function mixed(h: number): number {
  let x = h;
  x = Math.imul(x ^ (x >>> 16), 0x85ebca6b);
  x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35);
  return (x ^ (x >>> 16)) >>> 0;
}

/** UTF-8 bytes; the model has no TextEncoder. A lone half of a pair counts as U+FFFD. */
function utf8(text: string): readonly number[] {
  const bytes: number[] = [];
  for (const sign of text) {
    const found = sign.codePointAt(0)!;
    const code = found >= 0xd800 && found < 0xe000 ? 0xfffd : found;
    if (code < 0x80) bytes.push(code);
    else if (code < 0x800) bytes.push(0xc0 | (code >> 6), 0x80 | (code & 63));
    else if (code < 0x10000) bytes.push(0xe0 | (code >> 12), 0x80 | ((code >> 6) & 63), 0x80 | (code & 63));
    else bytes.push(0xf0 | (code >> 18), 0x80 | ((code >> 12) & 63), 0x80 | ((code >> 6) & 63), 0x80 | (code & 63));
  }
  return bytes;
}
