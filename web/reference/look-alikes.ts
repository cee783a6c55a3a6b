import { LEAST_ALIKE, type NearDuplicate } from "../../model/reference/duplicates/near-duplicates.ts";
import type { SetBreak } from "../../model/reference/member.ts";
import { sha256OfText } from "../storage/canonical.ts";
import type { BenchStore, LongWork } from "../storage/contract.ts";
import type { SetPictures } from "../workers/set-pictures-client.ts";
import type { SetCache } from "./set-cache.ts";

export interface LookAlikes {
  readonly pairs: readonly NearDuplicate[];
  /** Photographs without a small copy that can be read; nobody compared them. */
  readonly notCompared: number;
}

interface Photograph {
  readonly hash: string;
  readonly breakId: string;
}

/** Pairs whose details are compared in one go; between them the person can stop. */
const AT_ONCE = 100;

const photographsOf = (members: readonly SetBreak[]): readonly Photograph[] =>
  members.flatMap(({ id, hashes }) => hashes.map((hash) => ({ hash, breakId: id })));

/** Names exactly these photographs of exactly these breaks. */
const keyOf = (photographs: readonly Photograph[]): Promise<string> =>
  sha256OfText(
    photographs
      .map(({ hash, breakId }) => `${hash} ${breakId}`)
      .sort()
      .join("\n"),
  );

/** What was found among exactly these photographs before; null = they were not all looked at yet. */
export async function knownLookAlikes(members: readonly SetBreak[], cache: SetCache): Promise<LookAlikes | null> {
  const photographs = photographsOf(members);
  const pairs = await cache.alike(await keyOf(photographs));
  if (pairs === undefined) return null;
  const looks = await cache.looks();
  return { pairs, notCompared: photographs.filter(({ hash }) => !looks.has(hash)).length };
}

/**
 * Photographs of different breaks that look like one. Each photograph is made ready once and kept; cancelled, it goes
 * on from there the next time.
 *
 * @throws DOMException AbortError or PictureError `cancelled` when stopped; StoreError.
 */
export async function findLookAlikes(
  store: Pick<BenchStore, "thumbnail">,
  members: readonly SetBreak[],
  cache: SetCache,
  pictures: SetPictures,
  { signal, onProgress }: LongWork = {},
): Promise<LookAlikes> {
  const photographs = photographsOf(members);
  const looks = await cache.looks();
  // Where nothing can be kept on the disk, what was made now is still at hand.
  const fresh = new Map<string, Uint8Array<ArrayBuffer>>();
  const wanted = [...new Set(photographs.map(({ hash }) => hash))].filter((hash) => !looks.has(hash));
  for (const [i, hash] of wanted.entries()) {
    signal?.throwIfAborted();
    onProgress?.({ done: i, total: wanted.length, what: "photographs made ready" });
    const thumbnail = await store.thumbnail(hash);
    if (thumbnail === null) continue;
    try {
      const ready = await pictures.request("ready", { thumbnail }, { signal });
      looks.set(hash, ready.looks);
      await cache.keepLooks(hash, ready);
      if ((await cache.thumbnail(hash)) === undefined) fresh.set(hash, ready.thumbnail);
    } catch (error) {
      signal?.throwIfAborted();
      if (!(error instanceof Error && "code" in error && error.code === "decoder-failed")) throw error;
    }
  }
  const compared = photographs.filter(({ hash }) => looks.has(hash));
  const packed = new Uint32Array(16 * compared.length);
  compared.forEach(({ hash }, i) => packed.set(looks.get(hash)!, 16 * i));
  const found = await pictures.request(
    "pairs",
    { looks: packed, breakOf: numbered(compared.map((p) => p.breakId)), fileOf: numbered(compared.map((p) => p.hash)) },
    {
      signal,
      onPart: (part) =>
        onProgress?.({
          done: Math.round(part * compared.length),
          total: compared.length,
          what: "photographs compared",
        }),
    },
  );
  const pairs: NearDuplicate[] = [];
  const thumbnailOf = async (hash: string) => fresh.get(hash) ?? (await cache.thumbnail(hash));
  for (let at = 0; at < found.length; at += 3 * AT_ONCE) {
    signal?.throwIfAborted();
    onProgress?.({ done: at / 3, total: found.length / 3, what: "pairs looked at closely" });
    const asked: {
      a: Photograph;
      b: Photograph;
      pair: { a: Uint8Array<ArrayBuffer>; b: Uint8Array<ArrayBuffer>; ways: number[] };
    }[] = [];
    for (let i = at; i < Math.min(found.length, at + 3 * AT_ONCE); i += 3) {
      const [a, b] = [compared[found[i]!]!, compared[found[i + 1]!]!];
      const [one, other] = await Promise.all([thumbnailOf(a.hash), thumbnailOf(b.hash)]);
      const ways = Array.from({ length: 8 }, (_, way) => way).filter((way) => (found[i + 2]! >> way) & 1);
      if (one !== undefined && other !== undefined) asked.push({ a, b, pair: { a: one, b: other, ways } });
    }
    const agree = await pictures.request("agree", { pairs: asked.map(({ pair }) => pair) }, { signal });
    asked.forEach(({ a, b }, i) => {
      const alike = agree[i]!;
      if (alike >= LEAST_ALIKE) pairs.push({ hashes: [a.hash, b.hash], breakIds: [a.breakId, b.breakId], alike });
    });
  }
  await cache.keepAlike(await keyOf(photographs), pairs);
  return { pairs, notCompared: photographs.length - compared.length };
}

/** The same number for the same name. */
function numbered(names: readonly string[]): Int32Array<ArrayBuffer> {
  const known = new Map<string, number>();
  return Int32Array.from(names, (name) => {
    if (!known.has(name)) known.set(name, known.size);
    return known.get(name)!;
  });
}
