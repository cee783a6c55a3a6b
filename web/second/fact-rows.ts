import type { WireBreak } from "../../model/break/wire-break.ts";
import { formatLength } from "../../model/measure/format.ts";
import type { LengthUnit } from "../../model/measure/units.ts";
import { readableTime } from "../shell/clock.ts";

export interface FactRow {
  readonly name: string;
  readonly value: string;
}

const yesNo = (flag: boolean | null): string | null => (flag === null ? null : flag ? "yes" : "no");
const withUnit = (value: number | null, unit: string): string | null => (value === null ? null : `${value} ${unit}`);

/** What is known of wire and process, in words; unknown facts are left out. */
export function factRows({ context: c, rolesKnown }: WireBreak, unit: LengthUnit): readonly FactRow[] {
  const length = (mm: number | null, u: number | null) =>
    mm === null ? null : formatLength(mm, u, unit, { show: u === null ? "value-only" : "expanded" });
  const rows: readonly (readonly [string, string | null])[] = [
    ["Metal", c.metal],
    ["Grade", c.grade],
    ["Temper", c.temper],
    ["Nominal diameter", length(c.nominalDiameterMm, null)],
    ["Measured diameter", length(c.measuredDiameterMm, c.measuredDiameterUMm)],
    ["RA of the reference pull", withUnit(c.refRaPct, "%")],
    ["Tensile strength", withUnit(c.strengthMPa, "MPa")],
    ["Oxygen", withUnit(c.oxygenPpm, "ppm")],
    ["Cast", c.cast],
    ["Rod", c.rod],
    ["Coil", c.coil],
    ["Spool", c.spool],
    ["Machine", c.machine],
    ["Where on the machine", c.position],
    ["Line speed", withUnit(c.lineSpeedMps, "m/s")],
    ["When it broke", c.brokeAt === null ? null : readableTime(c.brokeAt)],
    ["Which piece stayed in the machine", rolesKnown ? "recorded: the left one" : null],
    ["Draw direction", c.drawDirection === "not-recorded" ? null : c.drawDirection.replaceAll("-", " ")],
    ["Machines in order", c.machineOrder.length === 0 ? null : c.machineOrder.join(" → ")],
    ["Reversals since the rod", c.reversals === null ? null : String(c.reversals)],
    ["Transfers", c.transfers === null ? null : c.transfers.join(", ").replaceAll("_", " ")],
    ["Which end led at pay-off", c.whichEndLeads],
    [
      "Passes",
      c.passes === null ? null : c.passes.map((p) => `${p.die}: ${p.semiAngleDeg}°, ${p.reductionPct} %`).join("; "),
    ],
    ["Nearest recorded joint", withUnit(c.weldLogDistanceM, "m")],
    ["Weld log read, no joint in this coil", yesNo(c.weldLogClear)],
    ["Annealed in hydrogen", yesNo(c.hydrogenAnneal)],
    ["Pickled or plated", yesNo(c.pickled)],
    ["First trip through the machine", yesNo(c.firstTrip)],
    ["Capstan slip or grab logged", yesNo(c.slipOrGrabLogged)],
    ["Delay after stress", withUnit(c.delayedH, "h")],
    ["Process history", c.process],
    ...Object.entries(c.tests).map(
      ([key, value]) =>
        [`Test: ${key.replaceAll("_", " ")}`, typeof value === "boolean" ? yesNo(value) : String(value)] as const,
    ),
  ];
  return rows.flatMap(([name, value]) => (value === null || value === "" ? [] : [{ name, value }]));
}
