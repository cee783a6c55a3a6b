/// <reference lib="webworker" />
import { seeded } from "../../model/classifier/seeded.ts";
import { agreementFigures } from "../../model/reference/second/figures.ts";
import { readBreakOf } from "../../model/reference/second/read-break.ts";
import type { AgreementRequests } from "./agreement-protocol.ts";
import { serve } from "./serve.ts";

serve<AgreementRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  compare: (records) => Promise.resolve({ output: records.map(readBreakOf).filter((read) => read !== null) }),
  figures: (breaks) => Promise.resolve({ output: agreementFigures(breaks, seeded) }),
});
