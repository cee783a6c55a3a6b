/** What each textbook case must ask for, and the request that asks it. Any one of several is enough. */
export const ASKED: Readonly<Record<string, Readonly<Record<string, readonly string[]>>>> = {
  A40: {
    "section both ends on the axis": ["longitudinal-section"],
    "next break: protect the run-through end": ["next-break"],
    "check wall texture at higher magnification": ["wall-texture"],
  },
  A41: {
    "longitudinal section 50-100 D": ["longitudinal-section"],
    "reference tensile RA of this wire": ["reference-pull"],
    "clean and re-photograph the flank": ["clean-flank"],
  },
  A44: {
    "turn the wire under low-angle light, look for a line at the rim on both ends": ["low-angle-rim"],
    "transverse section next to the break": ["transverse-section"],
    "bend set check": ["bend-set-check"],
    RA: ["measure-ra"],
  },
  A45: {
    "SEM/EDS of socket wall": ["eds"],
    "machine end: look for particle": ["find-other-end"],
    "magnet on residue": ["magnet"],
  },
  A46: {
    "confirm both ends belong to one break": ["ends-belong"],
    "look for a missing piece between": ["missing-piece"],
    "check sizes against die list": ["check-die-list"],
  },
  A48: {
    "which end stayed in the machine": ["which-end-stayed"],
    "draw direction and number of re-spoolings": ["draw-direction"],
    "which end led at pay-off": ["which-end-led"],
  },
  A50: {
    "dry end kept uncleaned from the next break": ["next-break"],
    "EDS of the fluid residue": ["eds"],
    "look for socket imprint": ["look-for-socket"],
    "longitudinal section": ["longitudinal-section"],
  },
  A51: {
    "transverse section, nital etch, micro-hardness of patch": ["transverse-section"],
    "bake-and-retest": ["bake-and-retest"],
    "lubricant and capstan record": ["line-log"],
  },
  A52: {
    "search another start on the face (rim line, nick, band)": ["search-other-start"],
    "section: how long is the hole": ["longitudinal-section"],
    "tension log": ["line-log"],
    "strength of wire": ["reference-pull"],
  },
  X53: {
    "longitudinal section 100 D each side: other Vs or none": ["longitudinal-section"],
    "clean flank, granular or fibrous": ["clean-flank"],
    "confirm RA": ["measure-ra"],
  },
  X56: {
    "SEM of the arcs: striations, or marks of the pull": ["sem"],
    "does the arc sit at the neck": ["rephotograph-faces"],
    "was it pulled after removal?": ["ask-pulled-after"],
    "other wires of the rope": ["other-wires"],
  },
  X60: {
    "oxygen analysis (is it really <= 10 ppm)": ["oxygen-analysis"],
    "section: oxide scale in the cracks or clean voids": ["section-boundaries"],
    "EDS lead, bismuth": ["eds-film"],
  },
};

/**
 * Rules a textbook case lists that do not fire there, and why. The list of a case holds rules that "should fire or be
 * cited"; these are the cited ones.
 */
export const CITED_ONLY: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  A41: { R76: "No strong row speaks for either type; R28 is the gate that holds the case back." },
  A44: { R64: "No line or nick was seen: the rim is out of focus, which is what the case asks to repair." },
  C04: { R31: "The absolute reduction of area is 40 % and 39 %, above the 35 % of the rule." },
  C11: { R35: "The cavity is followed for 1.8 and 1.6 D; the rule asks for 2 D." },
};
