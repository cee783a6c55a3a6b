import type { DemoBreak } from "./demo/demo-break.ts";
import { BURSTS } from "./demo/bursts.ts";
import { OVERLOADS } from "./demo/overloads.ts";
import { CORES } from "./demo/cores.ts";
import { SQUARE_BREAKS } from "./demo/square-breaks.ts";
import { SKIN_BREAKS } from "./demo/skin-breaks.ts";
import { OPEN_QUESTIONS } from "./demo/open-questions.ts";

/** All invented breaks of the demo mill "Hollowmoor Wire", in the order of their numbers. */
export const BREAKS: readonly DemoBreak[] = [
  ...OVERLOADS,
  ...BURSTS,
  ...CORES,
  ...SQUARE_BREAKS,
  ...SKIN_BREAKS,
  ...OPEN_QUESTIONS,
].sort((a, b) => a.look.number.localeCompare(b.look.number));
