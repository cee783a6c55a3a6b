import { applyEdit, type Edit } from "../../model/break/edits.ts";
import { newBreak } from "../../model/break/new-break.ts";
import type { Mark, Photograph } from "../../model/break/wire-break.ts";
import type { BenchStore, NewOriginal } from "../../web/storage/contract.ts";
import { openBench } from "../../web/storage/open-bench.ts";
import { summarise } from "../../web/storage/summary.ts";
import { createPictureClient } from "../../web/workers/client.ts";

/** Runs in the page of the development server: fills the store that the built product opens afterwards. */
export async function seedBench(
  encoded: readonly string[],
  ends: readonly string[],
): Promise<{ four: string; many: string; ends: string }> {
  const now = () => "2026-01-01T08:00:00Z";
  const store = await openBench({ now });
  const pictures = createPictureClient();
  const photographs: Photograph[] = [];
  const originals: NewOriginal[] = [];
  for (const [i, text] of [...encoded, ...ends].entries()) {
    const blob = new Blob([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))], { type: "image/jpeg" });
    const { hash, mediaType, byteLength, widthPx, heightPx, orientation, capturedAt } = await pictures.inspect(blob);
    const copies = await pictures.copies(blob);
    const fileName = `seed-${i}.jpg`;
    originals.push({ hash, original: blob, fileName, mediaType, ...copies });
    photographs.push({
      id: `p${i}`,
      hash,
      fileName,
      mediaType,
      byteLength,
      widthPx,
      heightPx,
      orientation,
      capturedAt,
      // The last two are an end as it is photographed: face and side.
      view: i % 2 === 0 ? "end_on" : "side_0",
      turnDeg: 0,
      scale: null,
      axisDeg: null,
      rendered: true,
    });
  }
  pictures.close();
  const file = async (number: string, marks: number, chosen: readonly Photograph[]): Promise<string> => {
    const id = `bench-${number}`;
    const edits: Edit[] = chosen.flatMap((p, i): Edit[] => [
      { kind: "set-end", side: i < 2 ? "machine" : "takeUp", patch: { recovery: "recovered" } },
      {
        kind: "add-photograph",
        side: i < 2 ? "machine" : "takeUp",
        index: i % 2,
        photograph: { ...p, id: `${number}-${p.id}` },
      },
    ]);
    for (let i = 0; i < marks; i++) {
      const [x, y] = [1500 + 120 * (i % 25), 800 + 120 * Math.floor(i / 25)];
      const mark: Mark = {
        id: `${number}-m${i}`,
        feature: "rock_candy",
        state: "present",
        photographId: `${number}-p0`,
        given: {},
        note: "",
        by: "bench",
        at: now(),
        geometry: {
          type: "polygon",
          points: [
            [x, y],
            [x + 60, y + 10],
            [x + 70, y + 60],
            [x + 20, y + 80],
            [x - 10, y + 40],
          ],
        },
      };
      edits.push({ kind: "add-mark", side: "machine", index: i, mark });
    }
    const edit: Edit = { kind: "together", edits };
    const { next, inverse } = applyEdit(newBreak(id, number, now()), edit, now());
    await store.commit({
      entries: [
        { breakId: id, revision: next.revision, edit, inverse, origin: "import", of: null, by: "bench", at: now() },
      ],
      records: [{ record: next, summary: summarise(next, "undetermined") }],
      originals,
    });
    return id;
  };
  const four = photographs.slice(0, encoded.length);
  const ids = {
    four: await file("S-4", 0, four),
    many: await file("S-500", 500, four),
    ends: await file("S-ends", 0, photographs.slice(encoded.length)),
  };
  await fileMany(store, 10_000);
  store.close();
  return ids;
}

/** Invented breaks without photographs, five hundred a transaction: a log as it looks after years. */
async function fileMany(store: BenchStore, count: number): Promise<void> {
  const at = "2025-01-01T08:00:00Z";
  const metals = ["copper", "aluminium", "steel"];
  for (let first = 0; first < count; first += 500) {
    const made = Array.from({ length: Math.min(500, count - first) }, (_, i) => {
      const n = first + i;
      const edit: Edit = {
        kind: "set-context",
        patch: { metal: metals[n % 3] ?? null, nominalDiameterMm: 0.5 + (n % 40) / 10, cast: `K-${n % 97}` },
      };
      const { next, inverse } = applyEdit(newBreak(`many-${n}`, `B-${n}`, at), edit, at);
      const { id: breakId, revision } = next;
      return {
        record: next,
        summary: summarise(next, "undetermined"),
        entry: { breakId, revision, edit, inverse, origin: "import" as const, of: null, by: "bench", at },
      };
    });
    await store.commit({ entries: made.map((m) => m.entry), records: made });
  }
}
