import { describe, expect, test } from "vitest";
import { awgFromName, awgToInch, awgToMm, mmToAwg } from "../../../model/measure/awg.ts";
import { degToRad, radToDeg } from "../../../model/measure/units.ts";
import * as centre from "../../../model/route/centreline-stress.ts";
import * as damage from "../../../model/route/damage.ts";
import * as stress from "../../../model/route/drawing-stress.ts";
import * as friction from "../../../model/route/friction.ts";
import * as pass from "../../../model/route/pass-geometry.ts";
import { directionAfter, machinesOfDirection } from "../../../model/route/reversals.ts";
import * as tensile from "../../../model/route/tensile-test.ts";
import * as clock from "../../../model/route/volume-clock.ts";
import values from "./check-values.json" with { type: "json" };
import { twoFieldBoundary, twoFieldStress } from "./two-field.ts";

interface Check {
  readonly quantity: string;
  readonly inputs: Readonly<Record<string, unknown>>;
  readonly expected: number | readonly number[];
  readonly tolerance: number;
  /** Where the value comes from, in words. */
  readonly source: string;
  /** published, derived, or remembered: a remembered one tests only that the formula is as written. */
  readonly basis: string;
}
const CHECKS = values as unknown as readonly Check[];

/** Inputs of a check by name; "8 deg" and "2.5 mm" lose their unit. */
class Inputs {
  constructor(private readonly raw: Readonly<Record<string, unknown>>) {}
  n(name: string): number {
    const number = Number.parseFloat(String(this.raw[name]));
    if (Number.isNaN(number)) throw new Error(`No number called ${name} in ${JSON.stringify(this.raw)}`);
    return number;
  }
  rad = (name: string): number => degToRad(this.n(name));
  text = (name: string): string => String(this.raw[name]);
  flags = (name: string): readonly boolean[] => this.raw[name] as readonly boolean[];
  numbers = (name: string): readonly number[] => this.raw[name] as readonly number[];
}
type Compute = (i: Inputs) => number | readonly number[];

const strainOf = (i: Inputs) => pass.trueStrain(i.n("d0"), i.n("d1"));
const diametersDelta = (i: Inputs) => pass.dieGeometryOfDiameters(i.rad("alpha"), i.n("d0"), i.n("d1"));
const flow = (i: Inputs) => stress.meanFlowStress(i.n("K"), i.n("n"), strainOf(i));
const drawStress = (i: Inputs): number =>
  stress.hardeningStress(flow(i), i.rad("alpha"), i.n("mu"), pass.inhomogeneityFactor(diametersDelta(i)), strainOf(i));
const example: Readonly<Record<string, Compute>> = {
  "mean diameter (mm)": (i) => pass.meanDiameter(i.n("d0"), i.n("d1")),
  "contact length (mm)": (i) => pass.contactLength(i.rad("alpha"), i.n("d0"), i.n("d1")),
  "inhomogeneity factor phi": (i) => pass.inhomogeneityFactor(diametersDelta(i)),
  "true strain": strainOf,
  "average flow stress (MPa)": flow,
  "draw stress (MPa)": drawStress,
  "draw force (N)": (i) => drawStress(i) * (Math.PI / 4) * i.n("d1") ** 2,
};

const delta = (i: Inputs) => pass.dieGeometry(i.rad("alpha"), i.n("r"));
const b = (i: Inputs, back = 0, process: centre.Process = "draw") =>
  centre.centrelineStress(i.rad("alpha"), i.n("r"), i.n("m"), back, process);
const strainOfReduction = (i: Inputs) => centre.strainOf(i.n("r"));
const back = "reversals since nucleation";
const transfers = "transfers reverse (current<-1, 1<-2, 2<-3)";

const COMPUTE: Readonly<Record<string, Compute>> = {
  ...Object.fromEntries(
    Object.entries(example).flatMap(([name, f]) => [
      [`${name}, published worked example`, f],
      [`${name}, same example unrounded`, f],
    ]),
  ),
  "area reduction r": (i) => pass.areaReduction(i.n("d0"), i.n("d1")),
  "true strain ln(A0/A1)": strainOf,
  "elongation ratio A0/A1": (i) => pass.elongationRatio(i.n("d0"), i.n("d1")),
  "exit diameter (mm)": (i) => pass.exitDiameter(i.n("d0"), i.n("r")),
  "Delta = (alpha/r)(1+sqrt(1-r))^2": delta,
  "Delta (published table)": delta,
  "Delta, geometric: mean diameter / contact length": diametersDelta,
  "Delta, sine form": (i) => pass.dieGeometryOfDiameters(i.rad("alpha"), 1, pass.exitDiameter(1, i.n("r"))),
  "Delta, small-r approximation 4*alpha/r": (i) => (4 * i.rad("alpha")) / i.n("r"),
  "Delta, strain approximation 4*alpha/eps": (i) => (4 * i.rad("alpha")) / strainOfReduction(i),
  "r from Delta: 4*alpha*Delta/(alpha+Delta)^2": (i) => pass.reductionOfDieGeometry(i.rad("alpha"), i.n("Delta")),
  "alpha from Delta (deg)": (i) => radToDeg(pass.semiAngleOfDieGeometry(i.n("Delta"), i.n("r"))),
  "redundant work factor Phi = 0.8 + Delta/4.4": (i) => pass.redundantWork(delta(i)),
  "redundant work factor phi = 0.88 + 0.12*Delta": (i) => pass.inhomogeneityFactor(delta(i)),
  "drawing stress / mean flow stress, (3.2/Delta+0.9)(alpha+mu)": (i) =>
    stress.shortFormStress(i.rad("alpha"), i.n("r"), i.n("mu")),
  "drawing stress / mean flow stress, Phi*eps*(1+mu*cot alpha)": (i) =>
    stress.workFormStress(i.rad("alpha"), i.n("r"), i.n("mu")),
  "drawing stress / flow stress, Sachs slab": (i) => stress.slabStress(i.rad("alpha"), i.n("r"), i.n("mu")),
  "drawing stress / mean flow stress, Siebel": (i) => stress.shearTermStress(i.rad("alpha"), i.n("r"), i.n("mu")),
  "optimum Delta, sqrt(14.08 mu/eps)": (i) => stress.optimumDieGeometry(i.n("mu"), strainOfReduction(i)),
  "optimum Delta, 4.9 sqrt(mu/eps)": (i) => stress.optimumDieGeometryShort(i.n("mu"), strainOfReduction(i)),
  "maximum reduction, ideal, n = 0": (i) => stress.idealLargestReduction(i.n("n")),
  "maximum reduction, ideal, 1-exp(-(n+1))": (i) => stress.idealLargestReduction(i.n("n")),
  "f(alpha)": (i) => stress.internalWorkFactor(i.rad("alpha")),
  "alpha/sin^2(alpha) - cot(alpha)": (i) => stress.boundaryShear(i.rad("alpha")),
  "drawing stress / sigma0, Avitzur upper bound (m)": (i) =>
    stress.soundFlowStress(i.rad("alpha"), i.n("r"), i.n("m"), i.n("L/Rf"), i.n("back tension/sigma0")),
  "drawing stress / sigma0, Avitzur with Coulomb mu": (i) =>
    stress.soundFlowStressCoulomb(i.rad("alpha"), i.n("r"), i.n("mu"), i.n("L/Rf")),
  "optimum semi-angle, sqrt(1.5 m ln(R0/Rf)) (deg)": (i) => radToDeg(stress.optimumSemiAngleNear(i.n("r"), i.n("m"))),
  "optimum semi-angle, exact minimum (deg)": (i) => radToDeg(stress.optimumSemiAngle(i.n("r"), i.n("m"))),
  "reduction at which drawing stress = sigma0 (non-hardening)": (i) => stress.limitReduction(i.rad("alpha"), i.n("m")),
  "m from mu, sqrt(3)*mu": (i) => friction.shearFactorAtFlowStress(i.n("mu")),
  "largest meaningful mu (sticking, p = sigma0)": () => friction.MU_STICKING,
  "mean die pressure / sigma0 from axial balance": (i) =>
    friction.meanDiePressure(i.rad("alpha"), i.n("r"), i.n("mu"), i.n("sigma_d/sigma0")),
  "m from mu with mean die pressure (fixed point)": (i) => friction.shearFactorOf(i.n("mu"), i.rad("alpha"), i.n("r")),
  "touching (triangular) field: drawing stress / sigma0 at given apex position": (i) =>
    twoFieldStress({ alpha: i.rad("alpha"), r: i.n("r"), m: i.n("m"), a: 0, zP: i.n("zP/Rf") }),
  "ring (burst) field: drawing stress / sigma0": (i) =>
    twoFieldStress({
      alpha: i.rad("alpha"),
      r: i.n("r"),
      m: i.n("m"),
      a: i.n("void radius/Rf"),
      zP: i.n("zP/Rf"),
    }),
  "two-field boundary: reduction below which a void of 0.1 Rf lowers the load": (i) =>
    twoFieldBoundary(i.rad("alpha"), i.n("m"), i.text("process") === "draw" ? "draw" : "extrude"),
  "h(Delta)": (i) => centre.geometryPart(i.n("Delta")),
  "centreline tension B = h + S/2 (drawing)": (i) => b(i),
  "centreline tension B (extrusion) = h - S/2": (i) => b(i, 0, "extrude"),
  "centreline tension B with back tension 0.1 sigma0": (i) => b(i, i.n("back tension/sigma0")),
  "centreline tension, finite-element value (formula must agree within tolerance)": (i) => b(i),
  "critical semi-angle (deg)": (i) => Number(centre.criticalSemiAngleDeg(i.n("r"), i.n("m"), i.n("B limit"))),
  "critical semi-angle, extrusion (deg)": (i) =>
    Number(centre.criticalSemiAngleDeg(i.n("r"), i.n("m"), i.n("B limit"), 0, "extrude")),
  "Cockcroft-Latham increment of the pass on the axis": (i) => damage.tensionDamage(strainOfReduction(i), b(i)),
  "Rice-Tracey increment ln(R/R0) of the pass on the axis": (i) => damage.voidGrowth(strainOfReduction(i), b(i)),
  "Cockcroft-Latham critical value from a tensile test": (i) => damage.criticalDamage(i.n("eps_u"), i.n("eps_f")),
  "stress triaxiality at the centre of a neck": (i) => damage.neckTriaxiality(i.n("a"), i.n("R")),
  "AWG diameter (mm), published table": (i) => awgToMm(awgFromName(i.text("gauge")) ?? Number.NaN),
  "AWG diameter (mm), formula": (i) => awgToMm(i.n("gauge n")),
  "AWG diameter (in), formula": (i) => awgToInch(i.n("gauge n")),
  "gauge number from diameter": (i) => mmToAwg(i.n("d")),
  "ratio of adjacent gauge diameters 92^(1/39)": () => awgToMm(10) / awgToMm(11),
  "reduction of area Z (%)": (i) => tensile.reductionOfAreaPct(i.n("d0"), i.n("d_min")),
  "reduction of area Z (%), elliptical end": (i) => {
    const [long = Number.NaN, short = Number.NaN] = i.text("axes").split(" x ").map(Number.parseFloat);
    return tensile.reductionOfAreaPct(i.n("d0"), long, short);
  },
  "elongation after fracture A (%)": (i) => tensile.elongationAfterFracturePct(i.n("L0"), i.n("Lu")),
  "true fracture strain from Z": (i) => damage.fractureStrain(i.n("Z")),
  "true fracture strain ln(A0/Af)": (i) => pass.trueStrain(i.n("d0"), i.n("du")),
  "proportional gauge length 5.65 sqrt(S0) (mm)": (i) => tensile.proportionalGaugeLength(i.n("d0")),
  "length of 1.0 mm wire from 1 m of 5.5 mm rod (m)": () => clock.lengthAfter(1, 5.5, 1),
  "length of 0.25 mm wire from 1 m of 5.5 mm rod (m)": () => clock.lengthAfter(1, 5.5, 0.25),
  "pitch at the break (mm)": (i) => clock.lengthAfter(i.n("pitch at die 4"), i.n("d at die 4"), i.n("d at break")),
  "pitch back at an earlier die (mm)": (i) => clock.lengthAfter(i.n("pitch"), i.n("d"), i.n("earlier d")),
  "pitch ratio p/d at an earlier die": (i) => clock.pitchRatioAt(i.n("pitch"), i.n("d"), i.n("earlier d")),
  "diameter at nucleation (mm)": (i) =>
    clock.birthDiameterOfPitch(i.n("pitch"), i.n("d"), i.n("c = p/d at nucleation")),
  "volume per burst interval (mm^3)": (i) => clock.volumePerBurst(i.n("pitch"), i.n("d")),
  "void radius at the break (mm)": (i) => clock.radiusAfter(i.n("a at die"), i.n("d at die"), i.n("d at break")),
  "cup depth at the break (mm)": (i) => clock.lengthAfter(i.n("h at die"), i.n("d at die"), i.n("d at break")),
  "cone half-angle at the break (deg)": (i) =>
    clock.flankAfter(i.n("half-angle at die"), i.n("d at die"), i.n("d at break")),
  "diameter at nucleation from cone angle (mm)": (i) =>
    clock.birthDiameterOfFlank(i.n("half-angle seen"), i.n("d"), i.n("half-angle at nucleation")),
  "candidate dies (numbers) for 0.5 <= p/d <= 2": (i) =>
    clock.diesOfPitch(i.n("pitch"), i.n("d"), i.numbers("die exits mm")),
  "apex direction now relative to current drawing (+1 with, -1 against)": (i) => directionAfter(i.flags(back)),
  "machines compatible with apex against current drawing": (i) => machinesOfDirection(-1, i.flags(transfers)),
  "machines compatible with apex with current drawing": (i) => machinesOfDirection(1, i.flags(transfers)),
};

const name = ({ quantity, inputs, basis, source }: Check) =>
  `${quantity} ${JSON.stringify(inputs)} (${basis}; ${source})`;

describe("every check value within its tolerance, its source beside it", () => {
  test("174 values, each with a source, none left without a computation", () => {
    expect(CHECKS).toHaveLength(174);
    expect(CHECKS.filter((c) => c.source === "" || COMPUTE[c.quantity] === undefined).map((c) => c.quantity)).toEqual(
      [],
    );
  });

  test.each(CHECKS.map((check) => [name(check), check] as const))("%s", (_name, check) => {
    const got = COMPUTE[check.quantity]!(new Inputs(check.inputs));
    if (typeof check.expected !== "number") {
      expect(got).toEqual(check.expected);
      return;
    }
    expect(Math.abs((got as number) - check.expected)).toBeLessThanOrEqual(check.tolerance);
  });
});
