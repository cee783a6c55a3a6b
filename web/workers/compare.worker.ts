/// <reference lib="webworker" />
import { compareModels } from "../../model/classifier/compare-models.ts";
import { readModelFile } from "../../model/classifier/model-file.ts";
import { COLUMN_NAMES } from "../../model/classifier/vector.ts";
import { answered } from "./classifier-answers.ts";
import type { CompareRequests } from "./compare-protocol.ts";
import { serve } from "./serve.ts";

serve<CompareRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  async compare({ breaks, fresh, inUse, learntFrom }, onPart) {
    return {
      output: await answered(() => {
        const model = readModelFile(fresh, COLUMN_NAMES);
        const { card, classes } = model;
        if (inUse === null) return { card, classes, comparison: null, said: [] };
        const other = readModelFile(inUse, COLUMN_NAMES);
        const learntFromByTheOneInUse = new Set(learntFrom);
        return { card, classes, ...compareModels(breaks, model, other, { learntFromByTheOneInUse, onPart }) };
      }),
    };
  },
});
