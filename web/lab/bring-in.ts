import { roomOf } from "../model/model-room.svelte.ts";
import type { App } from "../shell/app.svelte.ts";
import { bringLabSettings, readLabSettings } from "./bring-lab-settings.ts";

/**
 * Brings in the settings that came with a bench file, and says what became of them, each a sentence.
 *
 * @param value – what the file carried; null = nothing.
 * @throws StoreError; the same file opened again goes on from there.
 */
export async function bringInSettings(app: App, value: unknown): Promise<readonly string[]> {
  if (value === null) return [];
  const settings = readLabSettings(value);
  if (settings === null)
    return ["Its settings were written by another version of Endpair, or changed by hand: they were left out."];
  const { brought, kept } = await bringLabSettings(app.bench, settings);
  if (brought.length > 0) {
    await app.rereadSettings();
    await roomOf(app).reread();
  }
  return [
    ...(brought.length > 0 ? [`Set up as in the file: ${brought.join(", ")}.`] : []),
    ...(kept.length > 0 ? [`Set otherwise on this bench and left as it is: ${kept.join(", ")}.`] : []),
  ];
}
