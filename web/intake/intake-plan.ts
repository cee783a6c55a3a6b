import type { EndSide } from "../../model/break/wire-break.ts";
import type { ViewId } from "../../model/evidence/features.ts";

export interface Filed {
  readonly shotId: string;
  readonly side: EndSide;
  readonly view: ViewId;
  /** Why it was proposed this way. */
  readonly why: string;
}

/** One break in the making. */
export interface Plan {
  readonly key: string;
  readonly number: string;
  /** An existing break it is added to; null = a new break. */
  readonly into: string | null;
  readonly filed: readonly Filed[];
}

/** Plans with one shot placed anew; an emptied plan disappears unless it is the target. */
export function placed(
  plans: readonly Plan[],
  shotId: string,
  planKey: string,
  change: Partial<Pick<Filed, "side" | "view">>,
): readonly Plan[] {
  const before = plans.flatMap((p) => p.filed).find((f) => f.shotId === shotId);
  const filed: Filed = {
    shotId,
    side: change.side ?? before?.side ?? "machine",
    view: change.view ?? before?.view ?? "other",
    why: "set by hand",
  };
  return plans
    .map((plan) => {
      const at = plan.filed.findIndex((f) => f.shotId === shotId);
      if (plan.key === planKey) {
        if (at < 0) return { ...plan, filed: [...plan.filed, filed] };
        return { ...plan, filed: plan.filed.map((f) => (f.shotId === shotId ? filed : f)) };
      }
      return at < 0 ? plan : { ...plan, filed: plan.filed.filter((f) => f.shotId !== shotId) };
    })
    .filter((plan) => plan.filed.length > 0 || plan.key === planKey);
}

export const without = (plans: readonly Plan[], shotId: string): readonly Plan[] =>
  plans.map((p) => ({ ...p, filed: p.filed.filter((f) => f.shotId !== shotId) })).filter((p) => p.filed.length > 0);
