/// <reference lib="webworker" />
import { contributionsTo, rankingOf, type BreakModel, strangenessOf } from "../../model/classifier/break-model.ts";
import { ClassifierError } from "../../model/classifier/classifier-error.ts";
import { unlikenessAt } from "../../model/classifier/familiarity.ts";
import { readModelFile } from "../../model/classifier/model-file.ts";
import { COLUMN_NAMES } from "../../model/classifier/vector.ts";
import { answered } from "./classifier-answers.ts";
import type { ModelRequests } from "./model-protocol.ts";
import type { ModelSession } from "./model-session.ts";
import { serve } from "./serve.ts";

/** The model in use. Its file gives the probabilities through the runtime, its description the reasons. */
let open: { readonly model: BreakModel; readonly session: ModelSession } | null = null;

/** The runtime is large: it is fetched when the first model is opened. */
async function sessionOf(file: Uint8Array): Promise<ModelSession> {
  try {
    const { openSession } = await import("./model-session.ts");
    return await openSession(file);
  } catch (error) {
    throw new ClassifierError(
      "runtime-failed",
      `What earlier breaks say cannot be asked here: its runtime did not start (${String(error)}).`,
      "Reload the page; if it happens again, update the browser. Everything else works without it.",
    );
  }
}

serve<ModelRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  async open({ file }) {
    return {
      output: await answered(async () => {
        const model = readModelFile(file, COLUMN_NAMES);
        const session = await sessionOf(file);
        const before = open;
        open = { model, session };
        await before?.session.release();
        return { card: model.card, columns: model.columns, classes: model.classes };
      }),
    };
  },
  async ask({ row, reasonsFor }) {
    return {
      output: await answered(async () => {
        if (open === null)
          throw new ClassifierError("no-model", "No model is open.", "Choose a model in the settings, or train one.");
        const { model, session } = open;
        const { probabilities, distance } = await session.run(row);
        return {
          answer: {
            ranking: rankingOf(model.classes, probabilities),
            unlike: unlikenessAt(model.familiarity, distance),
          },
          strange: strangenessOf(model, row),
          reasons: Object.fromEntries(reasonsFor.map((type) => [type, contributionsTo(model, row, type)])),
        };
      }),
    };
  },
});
