import type { Verdict } from "../../model/evidence/break-type-ids.ts";
import { readCsv } from "../../model/reference/export/csv.ts";
import { PATHS } from "../../model/reference/export/set-names.ts";
import { type Split, SPLITS } from "../../model/reference/member.ts";
import type { SetVersion } from "../../model/reference/set-version.ts";
import { openZip } from "./open-set.ts";

/** A set that was written before: what each break was in it. Breaks go by their case identifier. */
export async function earlierSet(from: string | Blob): Promise<SetVersion> {
  const zip = await openZip(from);
  const { name, version, datePublished } = JSON.parse(await zip.text(PATHS.croissant)) as Record<string, string>;
  const { head, lines } = readCsv(await zip.text(PATHS.cases));
  const reasons = new Map<string, string>();
  const reviews = readCsv(await zip.text(PATHS.reviews));
  for (const line of reviews.lines)
    reasons.set(line[reviews.head.indexOf("case_id")] ?? "", line[reviews.head.indexOf("reason")] ?? "");
  const members = lines.map((line) => {
    const cell = (column: string) => line[head.indexOf(column)] ?? "";
    const split = cell("split") as Split;
    if (!SPLITS.includes(split))
      throw new Error(
        `${typeof from === "string" ? from : "the set"}: ${cell("case_id")} lies in no part ("${split}").`,
      );
    return {
      breakId: cell("case_id"),
      number: cell("number"),
      type: cell("break_type") as Verdict,
      split,
      level: cell("level") || null,
      reason: reasons.get(cell("case_id")) ?? "",
    };
  });
  return { name: name ?? "", version: version ?? "", date: datePublished ?? "", members };
}
