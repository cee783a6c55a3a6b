import { hmac } from "@noble/hashes/hmac.js";
import { sha256 } from "@noble/hashes/sha2.js";
import { utf8ToBytes } from "@noble/hashes/utils.js";

const CODE = /^reader-[0-9a-z]{8}$/;

/**
 * Code that stands for a person in a set: the same person has the same code everywhere in it, and another one in a set
 * with another seed. A code stays as it is, so a set that was taken over and is given on says the same.
 *
 * The first 40 bits of HMAC-SHA-256 with the seed as its key: who knows one name with its code learns nothing of others.
 *
 * @param seed – kept by the lab, long and random.
 * @source H. Krawczyk, M. Bellare, R. Canetti, "HMAC: keyed-hashing for message authentication", RFC 2104, 1997.
 */
export function codeOfPerson(name: string, seed: string): string {
  const person = name.trim();
  if (person === "" || CODE.test(person)) return person;
  const mac = hmac(sha256, utf8ToBytes(seed), utf8ToBytes(person.toLowerCase()));
  const number = mac.subarray(0, 5).reduce((sum, byte) => 256 * sum + byte, 0);
  return `reader-${number.toString(36).padStart(8, "0")}`;
}

/** The same content with every `by` – who marked, confirmed, edited – replaced by a code. */
export function withCodes<T>(content: T, seed: string): T {
  return replaced(content, seed) as T;
}

function replaced(content: unknown, seed: string): unknown {
  if (Array.isArray(content)) return content.map((inner) => replaced(inner, seed));
  if (typeof content !== "object" || content === null) return content;
  return Object.fromEntries(
    Object.entries(content).map(([key, inner]) => [
      key,
      key === "by" && typeof inner === "string" ? codeOfPerson(inner, seed) : replaced(inner, seed),
    ]),
  );
}
