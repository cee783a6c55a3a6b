import type { Source } from "../evidence/sources.ts";

/**
 * Published works behind the drawing mechanics of a pass, and what was derived here.
 *
 * The standing says how far each was read. `this-study` marks what was derived and checked by finite elements for
 * this project: it carries no author's name.
 */
export const ROUTE_SOURCES = {
  definition: { title: "Definition of the quantity, by volume constancy", standing: "text seen" },
  "this-study": {
    title: "Derived for this project and checked against its own finite-element limit analysis",
    standing: "text seen",
    note: "centreline mean stress, friction conversion, volume clock and parity of reversals",
  },
  "common-practice": { title: "Common practice, no source", standing: "from memory" },
  backofen: { title: "Deformation Processing", authors: "Backofen", year: 1972, standing: "from memory" },
  wright: {
    title: "Wire Technology: Process Engineering and Metallurgy",
    authors: "Wright",
    year: 2011,
    standing: "from memory",
  },
  groover: {
    title: "Fundamentals of Modern Manufacturing, example on wire drawing, equation after Schey",
    authors: "Groover",
    standing: "excerpt seen",
  },
  "hosford-caddell": {
    title: "Metal Forming",
    authors: "Hosford and Caddell",
    standing: "excerpt seen",
    note: "formula seen in a stored copy",
  },
  sachs: { title: "Slab analysis of drawing, re-derived", authors: "Sachs", year: 1927, standing: "from memory" },
  siebel: { title: "Drawing stress with a shear term", authors: "Siebel", year: 1947, standing: "from memory" },
  avitzur63: {
    title: "Upper bound for flow through conical converging dies, re-derived term by term",
    authors: "Avitzur",
    year: 1963,
    identifier: "Journal of Engineering for Industry 85 (1963) 89-96",
    standing: "abstract seen",
  },
  reddy96: {
    title: "Criterion of vanishing mean stress on the axis in drawing",
    authors: "Reddy, Dixit and Lal",
    year: 1996,
    identifier: "Journal of Manufacturing Science and Engineering 118 (1996) 579",
    standing: "abstract seen",
    note: "principle only; the evaluation used here is this study's",
  },
  "cockcroft-latham": {
    title: "Ductility and the workability of metals",
    authors: "Cockcroft and Latham",
    year: 1968,
    identifier: "Journal of the Institute of Metals 96 (1968) 33",
    standing: "from memory",
  },
  "rice-tracey": {
    title: "On the ductile enlargement of voids in triaxial stress fields",
    authors: "Rice and Tracey",
    year: 1969,
    identifier: "Journal of the Mechanics and Physics of Solids 17 (1969) 201",
    standing: "from memory",
  },
  bridgman: {
    title: "Studies in Large Plastic Flow and Fracture",
    authors: "Bridgman",
    year: 1952,
    standing: "from memory",
    note: "neck shape a/R = 1.1 (strain beyond uniform) after Le Roy et al., from memory",
  },
  b258: {
    title: "Nominal diameters of round wires used as electrical conductors, American Wire Gage",
    identifier: "ASTM B258",
    standing: "from memory",
  },
  "iso-6892-1": { title: "Metallic materials, tensile testing", identifier: "ISO 6892-1", standing: "from memory" },
  "cb-excerpt": {
    title: "Article on central bursts in drawn and extruded products",
    standing: "excerpt seen",
    note: "closed tip of the V points in the drawing direction",
  },
} as const satisfies Readonly<Record<string, Source>>;

export type RouteSourceKey = keyof typeof ROUTE_SOURCES;
