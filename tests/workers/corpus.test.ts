import { afterAll, describe, expect, test } from "vitest";
import { commands } from "vitest/browser";
import { PictureError } from "../../model/picture/picture-error.ts";
import { createPictureClient } from "../../web/workers/client.ts";
import type { Copies, Inspection } from "../../web/workers/protocol.ts";
import { blobOf } from "./blob-of.ts";

const names = await commands.realPictureNames();
const client = createPictureClient();
afterAll(() => {
  client.close();
});

type Outcome =
  | { readonly ok: true; readonly inspection: Inspection; readonly copies: Copies }
  | { readonly ok: false; readonly error: PictureError };

async function takeIn(name: string): Promise<Outcome> {
  const blob = blobOf(await commands.realPicture(name));
  try {
    return { ok: true, inspection: await client.inspect(blob), copies: await client.copies(blob) };
  } catch (error) {
    if (error instanceof PictureError) return { ok: false, error };
    throw error;
  }
}

describe.runIf(names.length > 0)("real pictures", () => {
  test.each(names)("%s opens or is refused in words within 10 s", { timeout: 12_000 }, async (name) => {
    const started = performance.now();
    const outcome = await takeIn(name);
    expect(performance.now() - started).toBeLessThan(10_000);
    if (outcome.ok) {
      const { inspection: i } = outcome;
      console.log(
        `OPEN ${name} ${i.widthPx}x${i.heightPx} o${i.orientation} ${i.capturedAt} ${i.hint?.pxPerMm} ${i.pages} ${i.notes.join("; ")}`,
      );
      expect(i.hash).toMatch(/^[0-9a-f]{64}$/);
      expect(outcome.copies.thumbnail.size).toBeGreaterThan(100);
    } else {
      console.log(`REFUSED ${name} ${outcome.error.code}: ${outcome.error.message}`);
      expect(outcome.error.message).toMatch(/^.{10,}[.]$/);
      expect(outcome.error.next).toMatch(/^.{10,}[.]$/);
    }
  });
});
