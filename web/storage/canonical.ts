/**
 * JSON with sorted keys and no spaces: the same content gives the same text, whatever order the keys were made in.
 * Keys without a value are left out, as JSON does.
 */
export function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_key, inner: unknown) => {
    if (inner === null || typeof inner !== "object" || Array.isArray(inner)) return inner;
    const sorted = Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0));
    return Object.fromEntries(sorted);
  });
}

/** Whether two values hold the same content. */
export const sameContent = (a: unknown, b: unknown): boolean => canonicalJson(a) === canonicalJson(b);

/** SHA-256 of bytes, lower-case hex. */
export async function sha256Hex(bytes: BufferSource): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** SHA-256 of text as UTF-8, lower-case hex. */
export const sha256OfText = (text: string): Promise<string> => sha256Hex(new TextEncoder().encode(text));
