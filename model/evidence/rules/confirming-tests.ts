import { centreInPlay, jointBand, sockets, testResult } from "../readings.ts";
import { found, type Found, type RuleRow } from "../rule.ts";
import { raOnBoth, seen, type Sight } from "../sight.ts";
import type { FeatureId } from "../features.ts";

/** A row that reads one test result. */
const byTest =
  (key: string, result: boolean, says: string, when: (s: Sight) => boolean = () => true) =>
  (s: Sight): Found | null =>
    testResult(s, key) === result && when(s) ? found(says) : null;

const shows = (s: Sight, ...features: readonly FeatureId[]) => features.some((f) => seen(s, f).length > 0);
const hydrogenSigns = (s: Sight) => shows(s, "rock_candy", "bright_facets", "longitudinal_split", "secondary_crack");

/**
 * Answers of the laboratory tests that the type descriptions name under "confirms" and "excludes", and that the first
 * eighty-two rules do not read. Without these rows the answer to a request could not change the evidence. None of them
 * fires on what is seen of the ends alone, save R95. Common practice, no source.
 */
export const CONFIRMING_TEST_RULES: readonly RuleRow[] = (
  [
    {
      id: "R83",
      bears: "for",
      types: ["fatigue"],
      strength: "decisive",
      condition: byTest("sem_striations", true, "The scanning electron microscope shows striations."),
      says: "Striations under the scanning electron microscope prove fatigue.",
      reason: "Each striation is one cycle of the growing crack.",
    },
    {
      id: "R84",
      bears: "against",
      types: ["fatigue"],
      strength: "moderate",
      condition: byTest("sem_striations", false, "The scanning electron microscope shows no striations."),
      says: "No striations under the scanning electron microscope speak against fatigue.",
      reason: "Not more: rubbed faces and hard steels may hide them.",
    },
    {
      id: "R85",
      bears: "for",
      types: ["inclusion"],
      strength: "strong",
      condition: byTest("eds_foreign", true, "EDS finds elements foreign to the wire at the start."),
      says: "Elements foreign to the wire at the start, by EDS, speak for an inclusion.",
      reason: "What does not belong to the wire came from outside.",
    },
    {
      id: "R86",
      bears: "against",
      types: ["inclusion"],
      strength: "moderate",
      condition: byTest("eds_foreign", false, "EDS finds nothing foreign to the wire at the start."),
      says: "Nothing foreign at the start, by EDS, speaks against an inclusion.",
      reason: "Not more: the particle may have dropped out.",
    },
    {
      id: "R87",
      bears: "for",
      types: ["hot_crack"],
      strength: "strong",
      condition: byTest(
        "eds_lead_bismuth",
        true,
        "EDS finds a low-melting film (lead, bismuth, sulphur) on the facets.",
      ),
      says: "A film of lead, bismuth or sulphur on the facets speaks for a hot crack.",
      reason: "A low-melting film opens the grain boundaries while hot.",
    },
    {
      id: "R88",
      bears: "against",
      types: ["hot_crack"],
      strength: "weak",
      condition: byTest("eds_lead_bismuth", false, "EDS finds no low-melting film on the facets."),
      says: "No low-melting film on the facets speaks weakly against a hot crack.",
      reason: "Casting strain cracks hot metal without a film.",
    },
    {
      id: "R89",
      bears: "against",
      types: ["weld_break"],
      strength: "strong",
      condition: (s: Sight) =>
        s.context.weldLogClear === true && testResult(s, "section_sound") === true
          ? found("The log shows no joint in the coil and the section is normal.")
          : null,
      says: "No joint in the log and a normal section speak against a weld break.",
      reason: "A joint leaves both a record and a structure.",
    },
    {
      id: "R90",
      bears: "against",
      types: ["weld_break"],
      strength: "moderate",
      condition: (s: Sight) =>
        (s.context.weldLogClear === true) !== (testResult(s, "section_sound") === true) && jointBand(s).length === 0
          ? found(
              s.context.weldLogClear === true
                ? "The log shows no joint in the coil."
                : "The section shows sound structure at the break.",
            )
          : null,
      says: "No joint in the log, or a sound section, speaks against a weld break.",
      reason: "One of the two signs of a joint is missing.",
    },
    {
      id: "R91",
      bears: "against",
      types: ["hydrogen_damage"],
      strength: "strong",
      metals: ["steel"],
      condition: byTest("bake_recovers", false, "The ductility does not return after baking."),
      says: "Ductility that stays lost after baking speaks against hydrogen damage.",
      reason: "Hydrogen leaves on baking.",
    },
    {
      id: "R92",
      bears: "against",
      types: ["surface_martensite"],
      strength: "decisive",
      metals: ["steel"],
      condition: byTest("white_layer", false, "The etched section shows no hard layer."),
      says: "No hard layer in the etched section excludes friction martensite.",
      reason: "The layer is the type.",
    },
    {
      id: "R93",
      bears: "against",
      types: ["hydrogen_damage"],
      strength: "strong",
      metals: ["copper"],
      condition: byTest("void_chains", false, "The section shows no void chains on the grain boundaries."),
      says: "No void chains on the grain boundaries speak against steam cracking.",
      reason: "Steam leaves voids.",
    },
    {
      id: "R94",
      bears: "against",
      types: ["hydrogen_damage"],
      strength: "strong",
      metals: ["copper"],
      condition: (s: Sight) =>
        s.context.hydrogenAnneal === false && shows(s, "rock_candy")
          ? found("The copper was not heated in hydrogen.")
          : null,
      says: "No heating in hydrogen speaks against steam cracking.",
      reason: "Without hydrogen there is no steam.",
    },
    {
      id: "R95",
      bears: "for",
      types: ["inclusion"],
      strength: "moderate",
      reads: ["end_hole"],
      also: [{ bears: "against", type: "casting_void", strength: "moderate" }],
      condition: (s: Sight) => {
        const prints = sockets(s);
        return prints.length === 0 ? null : found("The wall of the hole carries the print of a particle.", prints);
      },
      says: "The print of a particle in the wall of a hole speaks for an inclusion, against a void.",
      reason: "Only a solid particle leaves a print.",
    },
    {
      id: "R96",
      bears: "against",
      types: ["tensile_overload"],
      strength: "strong",
      condition: byTest(
        "pulled_after_removal",
        true,
        "The wire was pulled to breaking after its removal: neck and lip are of that pull.",
      ),
      says: "A pull to breaking after removal takes the meaning from neck and lip.",
      reason: "They belong to the pull, not to the break in question.",
    },
    {
      id: "R97",
      bears: "for",
      types: ["fatigue"],
      strength: "strong",
      condition: byTest("other_wires_fatigue", true, "Other wires of the same rope show earlier fatigue cracks."),
      says: "Other wires with earlier fatigue cracks speak for fatigue.",
      reason: "The same bending reached them all.",
    },
    {
      id: "R98",
      bears: "for",
      types: ["tensile_overload", "surface_martensite"],
      strength: "weak",
      reads: ["neck", "bright_patch"],
      condition: (s: Sight) => {
        const only = [
          ...(raOnBoth(s, "full") ? [] : ["tensile_overload" as const]),
          ...(s.metal === "steel" && shows(s, "bright_patch") ? ["surface_martensite" as const] : []),
        ];
        return s.context.slipOrGrabLogged === true && only.length > 0
          ? found("Slip, grab or lubricant loss is logged.", [], { only })
          : null;
      },
      says: "A logged slip, grab or lubricant loss speaks weakly for an overload, and for friction martensite under a bright patch.",
      reason: "Both are usual causes.",
    },
    {
      id: "R99",
      bears: "against",
      types: ["tensile_overload"],
      strength: "weak",
      condition: (s: Sight) =>
        s.context.slipOrGrabLogged === false ? found("The log shows no slip, grab or tension peak.") : null,
      says: "No slip, grab or tension peak in the log speaks weakly against an overload.",
      reason: "Something must have raised the pull.",
    },
    {
      id: "R100",
      bears: "for",
      types: ["longitudinal_split"],
      strength: "moderate",
      metals: ["steel"],
      reads: ["longitudinal_split"],
      condition: byTest("torsion_delaminates", true, "The torsion test of sound wire delaminates as well.", (s) =>
        shows(s, "longitudinal_split"),
      ),
      says: "A torsion test that delaminates speaks for longitudinal splitting.",
      reason: "The wire splits by itself when sheared.",
    },
    {
      id: "R101",
      bears: "against",
      types: ["hydrogen_damage"],
      strength: "moderate",
      metals: ["steel"],
      condition: (s: Sight) =>
        s.context.pickled === false && hydrogenSigns(s) ? found("No acid or plating in the history.") : null,
      says: "No acid or plating in the history speaks against hydrogen damage.",
      reason: "No source of hydrogen.",
    },
    {
      id: "R102",
      bears: "for",
      types: ["hot_crack"],
      strength: "strong",
      condition: byTest("oxide_in_cracks", true, "The section shows oxide scale in the cracks."),
      says: "Oxide scale in the cracks of the section speaks for a hot crack.",
      reason: "Scale forms only while hot.",
    },
    {
      id: "R103",
      bears: "against",
      types: ["hot_crack"],
      strength: "moderate",
      condition: byTest("oxide_in_cracks", false, "The section shows clean cracks without oxide."),
      says: "Clean cracks without oxide speak against a hot crack.",
      reason: "A crack open while hot takes up scale.",
    },
    {
      id: "R104",
      bears: "for",
      types: ["overheated"],
      strength: "moderate",
      reads: ["melt_bead"],
      condition: byTest("arc_logged", true, "The machine log shows an arc or a stop in the annealer.", (s) =>
        shows(s, "melt_bead", "heat_tint"),
      ),
      says: "A logged arc or annealer stop with a melt bead or heat tint speaks for overheating.",
      reason: "The record of the heat.",
    },
    {
      id: "R106",
      bears: "against",
      types: ["fatigue"],
      strength: "moderate",
      condition: byTest("other_wires_fatigue", false, "The other wires of the same rope show ductile breaks only."),
      says: "Other wires with ductile breaks only speak against fatigue.",
      reason: "The same bending should have reached them too.",
    },
    {
      id: "R107",
      bears: "against",
      types: ["corrosion_scc"],
      strength: "moderate",
      condition: (s: Sight) =>
        s.context.pickled === false && shows(s, "rock_candy")
          ? found("No acid, plating or attack in the history.")
          : null,
      says: "No acid, plating or attack in the history speaks against a corrosion crack behind a granular face.",
      reason: "Something must have attacked the boundaries.",
    },
    {
      id: "R108",
      bears: "for",
      types: ["corrosion_scc"],
      strength: "moderate",
      metals: ["copper", "aluminium"],
      reads: ["rock_candy"],
      condition: (s: Sight) => {
        const clean = seen(s, "rock_candy", (f) => f.measures["dark_oxide"] !== true);
        return s.context.pickled === true && s.context.hydrogenAnneal !== true && clean.length > 0
          ? found("A granular face without dark oxide after acid or plating.", clean)
          : null;
      },
      says: "Acid or plating before a granular face without dark oxide speaks for a corrosion crack.",
      reason: "Acid left on the wire attacks the boundaries under stress.",
    },
    {
      id: "R105",
      bears: "against",
      types: ["casting_void"],
      strength: "strong",
      condition: byTest(
        "cavity_short",
        true,
        "The section shows that the cavity ends close behind the break.",
        centreInPlay,
      ),
      says: "A cavity that ends close behind the break speaks against a casting void.",
      reason: "A drawn-out cavity is long.",
    },
  ] as const satisfies readonly (Omit<RuleRow, "group" | "reads" | "sources" | "standing"> &
    Partial<Pick<RuleRow, "reads">>)[]
).map((row) => ({ reads: [], ...row, group: "confirming tests", sources: [], standing: "common-practice" }));
