/** Table of the cyclic redundancy check of PNG, polynomial EDB88320. @source ISO/IEC 15948:2004, annex D. */
const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

/** @returns the running check after these bytes; start with 0 and feed the result back in. */
export function crc32(bytes: Uint8Array, before = 0): number {
  let c = ~before;
  for (let i = 0; i < bytes.length; i++) c = (TABLE[(c ^ (bytes[i] ?? 0)) & 255] ?? 0) ^ (c >>> 8);
  return ~c >>> 0;
}
