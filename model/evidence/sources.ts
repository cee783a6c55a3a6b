/**
 * How far a source was read when its row was written:
 * its text, its abstract, an excerpt of it, or nothing (quoted from memory, to be checked before it is relied on).
 */
export type SourceStanding = "text seen" | "abstract seen" | "excerpt seen" | "from memory";

/** One published source. Names nobody could confirm from the copy at hand are left out, never guessed. */
export interface Source {
  readonly title: string;
  readonly authors?: string;
  readonly year?: number;
  /** DOI, standard number, journal and page, or report number. */
  readonly identifier?: string;
  readonly standing: SourceStanding;
  /** What the standing alone does not say. */
  readonly note?: string;
}

/**
 * Every source a rule, a page, a caution or a check value may cite. A statement of the trade without a source
 * carries no key and is shown as "common practice, no source".
 */
export const SOURCES = {
  adewole: {
    title: "Numerical prediction of fracture sequence in notched and un-notched wires",
    authors: "Adewole and Bull",
    standing: "abstract seen",
  },
  "agh-cast": {
    title: "Investigation of the dendritic structure influence on continuously cast copper",
    year: 2020,
    identifier: "Materials 13 (2020) 5513",
    standing: "abstract seen",
  },
  "al-incl-thesis": {
    title: "Thesis on inclusions in the drawing of 1350 and 6101 aluminium rod, Mar del Plata",
    standing: "abstract seen",
    note: "repository record",
  },
  "asm-desk": {
    title: "Metals Handbook Desk Edition, chapter on fractography",
    year: 1998,
    standing: "excerpt seen",
  },
  asm11: { title: "ASM Handbook, volume 11: Failure Analysis and Prevention", standing: "from memory" },
  "asm12-macro": {
    title: "ASM Handbook, volume 12: Macroscale Fracture Appearances",
    standing: "excerpt seen",
    note: "abstract and excerpt",
  },
  avitzur68: {
    title: "Analysis of central bursting defects in extrusion and wire drawing",
    authors: "Avitzur",
    year: 1968,
    identifier: "Journal of Engineering for Industry (1968)",
    standing: "from memory",
  },
  b577: {
    title: "Detection of cuprous oxide (hydrogen embrittlement susceptibility) in copper",
    year: 1993,
    identifier: "ASTM B577-93",
    standing: "excerpt seen",
    note: "ISO 2626 is named only",
  },
  beach: { title: "Glossary page on beach marks, independent test laboratory", standing: "text seen" },
  "bend-std": {
    title: "Metallic materials, wire: reverse bend test; wrapping test",
    identifier: "ISO 7801; ISO 7802",
    standing: "from memory",
  },
  "cb-excerpt": {
    title: "Failure paper on central bursting and wire breakage",
    standing: "excerpt seen",
    note: "the copy does not show authors, journal or year",
  },
  chia: {
    title: "Characterization of rod and wire defects produced during the manufacture of copper",
    authors: "Chia and Patel",
    standing: "excerpt seen",
    note: "first page; trade journal",
  },
  coffin: {
    title: "Influence of pressure on the structural damage in metal forming",
    authors: "Coffin and Rogers",
    year: 1967,
    identifier: "Transactions of the ASM 60 (1967)",
    standing: "from memory",
  },
  cohen: {
    title: "A coefficient of agreement for nominal scales",
    authors: "Cohen",
    year: 1960,
    identifier: "Educational and Psychological Measurement 20 (1960)",
    standing: "from memory",
    note: "described in secondary pages that were seen",
  },
  "cu-conductors": {
    title: "Some Manufacturing Defects in Copper Conductors",
    year: 2019,
    identifier: "ASM Failure Analysis Case Histories (2019)",
    standing: "abstract seen",
  },
  cupfract: { title: "Definition of cup fracture, failure glossary", standing: "text seen" },
  delam2018: {
    title: "Delamination of pearlitic steel wires: the defining role of prior-drawing microstructure",
    year: 2018,
    identifier: "Metallurgical and Materials Transactions A (2018), doi 10.1007/s11661-018-4564-9",
    standing: "abstract seen",
  },
  "delta-note": {
    title: "Note on die geometry: the delta factor, its formula and usual range",
    standing: "text seen",
  },
  "delta-table": { title: "Delta factor table on a die supplier's formula page", standing: "text seen" },
  dguv: {
    title: "Accident-insurance answers on wire-processing machines (in German)",
    standing: "text seen",
  },
  e1951: {
    title: "Guide for calibrating reticles and light microscope magnifications",
    identifier: "ASTM E1951",
    standing: "excerpt seen",
    note: "scope and part of the text",
  },
  "fat-note": { title: "Teaching note on fatigue surfaces", standing: "text seen" },
  "he-excerpt": {
    title: "Failure paper on hydrogen-embrittled drawn wire",
    standing: "excerpt seen",
    note: "the copy does not show authors, journal or year",
  },
  "he-std": {
    title: "Hydrogen embrittlement tests of prestressing steel and by rising step load",
    identifier: "ASTM A1032; ASTM F1624",
    standing: "excerpt seen",
    note: "scopes only",
  },
  hu2013: {
    title: "Origin and mechanism of torsion fracture in cold-drawn pearlitic steel wires",
    authors: "Hu et al.",
    year: 2013,
    identifier: "Journal of Materials Science (2013), doi 10.1007/s10853-013-7347-0",
    standing: "abstract seen",
  },
  "icf-fat": {
    title: "Fatigue initiation in hot rolled bar and prestressing wire, 13th International Conference on Fracture",
    year: 2013,
    standing: "excerpt seen",
    note: "one page",
  },
  "ih-fatigue": { title: "Trade article series on recognising fatigue cracks", standing: "text seen" },
  "ih-torsion": { title: "Trade article series on torsional fractures", standing: "text seen" },
  iso17025: {
    title: "General requirements for the competence of testing and calibration laboratories",
    year: 2017,
    identifier: "ISO/IEC 17025:2017",
    standing: "excerpt seen",
    note: "clause 7.8.2 and clause titles; the rest from memory",
  },
  iso4309: {
    title: "Cranes: wire ropes: care and maintenance, inspection and discard",
    identifier: "ISO 4309",
    standing: "from memory",
  },
  iso7800: {
    title: "Metallic materials, wire: simple torsion test",
    year: 2012,
    identifier: "ISO 7800:2012; ASTM A938",
    standing: "excerpt seen",
    note: "scope only",
  },
  khaliq: {
    title: "Melt quality induced failure of EC grade aluminum wires",
    authors: "Khaliq et al.",
    year: 2017,
    identifier: "Journal of Mining and Metallurgy B 53 (2017)",
    standing: "abstract seen",
  },
  landis: {
    title: "The measurement of observer agreement for categorical data",
    authors: "Landis and Koch",
    year: 1977,
    identifier: "Biometrics 33 (1977)",
    standing: "excerpt seen",
    note: "its bands, in secondary pages",
  },
  "leak-oct": {
    title: "Inflation of test accuracy due to data leakage in classification of OCT images",
    year: 2022,
    identifier: "Scientific Data (2022) and preprint",
    standing: "abstract seen",
  },
  "leak-slice": { title: "Article citing a study of slice-level splits", standing: "text seen" },
  "lecture-fract": {
    title: "Course text on selecting and preserving fracture surfaces",
    standing: "excerpt seen",
  },
  liu2013: {
    title: "Failure analysis procedure of steel wire drawing fracture",
    authors: "Liu, Sun and Wang",
    year: 2013,
    identifier: "13th International Conference on Fracture, Beijing (2013)",
    standing: "excerpt seen",
    note: "pages 1, 2, 4 and 5",
  },
  loto: {
    title: "The control of hazardous energy (lockout/tagout)",
    identifier: "OSHA 29 CFR 1910.147",
    standing: "from memory",
  },
  "metallo-crack": {
    title: "Metallography reference page: transverse surface cracks in drawn stainless wire",
    standing: "text seen",
  },
  "metallo-mart": {
    title: "Metallography reference page: friction martensite in drawing",
    standing: "text seen",
  },
  miosha: {
    title: "Michigan Administrative Code, wire drawing machines",
    identifier: "R 408.12638",
    standing: "text seen",
  },
  misalign: {
    title: "Study of wire drawn off the die axis (copper, aluminium)",
    year: 1960,
    identifier: "Transactions of the Japan Institute of Metals 1 (1960) 83",
    standing: "abstract seen",
  },
  mukho: {
    title: "Hydrogen embrittlement failure of hot dip galvanised high tensile wires",
    authors: "Mukhopadhyay et al.",
    year: 1999,
    identifier: "Engineering Failure Analysis 6 (1999)",
    standing: "abstract seen",
  },
  murr: {
    title: "Deep cup failure of drawn wire, shown in Fiber Fracture (2002)",
    authors: "Murr and Flores",
    year: 1998,
    identifier: "Scripta Materialia 39 (1998) 527",
    standing: "excerpt seen",
    note: "figure caption; the title here describes the figure",
  },
  naumann: {
    title: "Steel Wire Cracked at Welded Joint",
    authors: "Naumann and Spies",
    year: 2019,
    identifier: "ASM Failure Analysis Case Histories (2019)",
    standing: "text seen",
  },
  niosh: {
    title: "Fatality report: wire drawing machine",
    identifier: "FACE report 02CA009",
    standing: "text seen",
  },
  panta: {
    title: "Cracking of copper alloy hot rolled plates",
    authors: "Pantazopoulos et al.",
    year: 2018,
    standing: "abstract seen",
  },
  parghazeh: {
    title: "Central bursting in rod extrusion by upper bound",
    authors: "Parghazeh and Haghighat",
    year: 2016,
    identifier: "Transactions of Nonferrous Metals Society of China 26 (2016)",
    standing: "abstract seen",
  },
  "plym-rope": { title: "University tutorial on a wire-rope failure", standing: "text seen" },
  princeton: { title: "University notes on ductile (cup and cone) fracture", standing: "text seen" },
  raskin: {
    title: "Causes of wire breaks in copper drawing, 673 samples",
    authors: "Raskin",
    year: 1997,
    standing: "excerpt seen",
    note: "only as cited by Yoshida (2002)",
  },
  ratchet: { title: "Glossary page on ratchet marks, independent test laboratory", standing: "text seen" },
  remmers: {
    title: "The Causes of Cuppy Wire",
    authors: "Remmers",
    year: 1930,
    identifier: "AIME (1929/1930)",
    standing: "abstract seen",
    note: "abstract and introduction",
  },
  "res-weld": {
    title: "Metallurgical analysis of resistance welds in brass-coated steel wire, wire association paper",
    standing: "abstract seen",
  },
  "rope-guide": { title: "Wire-rope degradation guide, diagnostic table", standing: "text seen" },
  "scc-article": { title: "Article on stress-corrosion cracking of brass", standing: "abstract seen" },
  "scc-cu": { title: "Reference page on stress-corrosion of brasses", standing: "text seen" },
  "slant-trade": {
    title: "Trade page on wire fracture shapes",
    standing: "text seen",
    note: "weak source",
  },
  "surf-flaw-fem": {
    title: "Analysis of surface flaws on drawn wire and wire breaks (V, U and concave cracks), wire association paper",
    standing: "abstract seen",
  },
  tanaka2020: {
    title: "Onset of delamination in wire-drawn pearlitic steels",
    authors: "Tanaka et al.",
    year: 2020,
    identifier: "ISIJ International (2020)",
    standing: "abstract seen",
  },
  "tensile-std": {
    title: "Tensile testing of metallic materials",
    identifier: "ISO 6892-1; ASTM E8/E8M; ASTM A370",
    standing: "from memory",
  },
  tips2012: {
    title: "Some Tips About the Classification of Wire Breakages, Part A",
    year: 2012,
    standing: "excerpt seen",
    note: "trade article",
  },
  "tm-rope": {
    title: "Technical manual, wire rope breaks",
    identifier: "US Army TM 5-3810-305-10",
    standing: "excerpt seen",
    note: "one page",
  },
  "tors-duct": { title: "Torsional ductility of high carbon steel wire", standing: "abstract seen" },
  "torsion-note": {
    title: "Note on types of torsion failure (greatest shear on transverse and lengthwise planes)",
    standing: "excerpt seen",
  },
  "toribio-he": {
    title: "Hydrogen-assisted microdamage of eutectoid pearlitic steel",
    authors: "Toribio et al.",
    year: 2023,
    identifier: "Metals 13 (2023) 1365",
    standing: "abstract seen",
  },
  "toribio-incl": {
    title: "Drawing-induced evolution of inclusions in cold-drawn pearlitic steel",
    authors: "Toribio et al.",
    identifier: "Metals",
    standing: "abstract seen",
  },
  "twist-rod": {
    title: "On the origin of twist-test cracks in copper rod, wire association paper",
    standing: "abstract seen",
  },
  "wbfa-toc": {
    title: "Wire Breaks and Failure Analysis (handbook, copper)",
    standing: "excerpt seen",
    note: "table of contents only",
  },
  "whip-note": { title: "Attorney's account of wire drawing injuries", standing: "text seen", note: "weak source" },
  wright: {
    title: "Wire Technology: Process Engineering and Metallurgy",
    authors: "Wright",
    year: 2011,
    standing: "from memory",
    note: "preface seen, content from memory",
  },
  yoshida: {
    title: "Fracture of superfine metallic wires, in Fiber Fracture",
    authors: "Yoshida",
    year: 2002,
    standing: "excerpt seen",
    note: "pages",
  },
  "yu-he": {
    title: "Micro-axial cracking in unnotched cold-drawn pearlitic steel wire",
    authors: "Yu et al.",
    standing: "abstract seen",
  },
  zipp: {
    title: "Preparation and Preservation of Fracture Specimens, ASM Handbook volume 12",
    authors: "Zipp and Dahlberg",
    year: 1987,
    standing: "excerpt seen",
    note: "abstract and excerpt",
  },
  "iso-6892-1": {
    title: "Metallic materials: tensile testing: method of test at room temperature",
    identifier: "ISO 6892-1, percentage reduction of area",
    standing: "from memory",
    note: "edition and clause to be confirmed",
  },
  "jcgm-100": {
    title: "Evaluation of measurement data: guide to the expression of uncertainty in measurement",
    year: 2008,
    identifier: "JCGM 100:2008",
    standing: "from memory",
  },
  "astm-b258": {
    title: "Standard nominal diameters and cross-sectional areas of AWG sizes of solid round wires",
    identifier: "ASTM B258",
    standing: "from memory",
  },
  "astm-e1951": {
    title: "Guide for calibrating reticles and light microscope magnifications",
    identifier: "ASTM E1951",
    standing: "excerpt seen",
    note: "scope and part of the text",
  },
  "okabe-ito": {
    title: "Color Universal Design: how to make figures and presentations that are friendly to colorblind people",
    authors: "Okabe and Ito",
    year: 2002,
    standing: "from memory",
  },
} as const satisfies Readonly<Record<string, Source>>;

export type SourceKey = keyof typeof SOURCES;

export const SOURCE_KEYS = Object.keys(SOURCES) as readonly SourceKey[];

export const isSourceKey = (key: string): key is SourceKey => Object.hasOwn(SOURCES, key);

/**
 * The row of a source.
 *
 * @throws RangeError when the key is not in the table: a citation nobody can follow must fail loudly.
 */
export function sourceOf(key: string): Source {
  if (!isSourceKey(key)) throw new RangeError(`No source has the key "${key}".`);
  return SOURCES[key];
}

/** One line for a sheet or a page: authors, title, identifier, year, and how far it was read. */
export function citation(key: string): string {
  const s = sourceOf(key);
  const year = s.year !== undefined && !(s.identifier ?? "").includes(String(s.year)) ? String(s.year) : null;
  const parts = [s.authors, s.title, s.identifier, year].filter((part) => part !== undefined && part !== null);
  return `${parts.join(", ")} (${s.standing}${s.note === undefined ? "" : `; ${s.note}`})`;
}
