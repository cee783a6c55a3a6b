/// <reference lib="webworker" />
import { writeModelFile } from "../../model/classifier/model-file.ts";
import { train } from "../../model/classifier/train.ts";
import { answered } from "./classifier-answers.ts";
import type { LearnRequests } from "./learn-protocol.ts";
import { serve } from "./serve.ts";

serve<LearnRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  async learn({ set, options }, onPart) {
    const output = await answered(
      () => writeModelFile(train(set, { ...options, onPart: (part) => onPart(part) })).bytes,
    );
    return { output, transfer: "output" in output ? [output.output.buffer] : [] };
  },
});
