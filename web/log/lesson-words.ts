import type { WhyItTeaches } from "../../model/classifier/teach-most.ts";
import { typeName } from "../bench/words.ts";

/** Place in the list and reason of every open break, by identifier. */
export type Lessons = ReadonlyMap<string, { readonly place: number; readonly why: WhyItTeaches }>;

/** Why confirming a break would teach something, in a few words. */
export function lessonWords(why: WhyItTeaches): string {
  switch (why.kind) {
    case "torn":
      return `torn between ${typeName(why.between[0])} and ${typeName(why.between[1])}`;
    case "unlike":
      return "unlike anything so far";
    case "unusual":
      return "more unusual than most so far";
    case "few":
      return why.confirmed === 0
        ? `perhaps ${typeName(why.type)}: none confirmed yet`
        : `perhaps ${typeName(why.type)}: only ${why.confirmed} confirmed`;
    case "little-marked":
      return "little is marked yet: mark it first";
    case "sure":
      return `much like other ${typeName(why.type)}: teaches little`;
  }
}
