import { BREAK_TYPE_IDS } from "../../evidence/break-type-ids.ts";
import { SPLITS } from "../member.ts";
import { CROP_COLUMNS, STRETCH_COLUMN } from "./crop-table.ts";
import { licenceOf } from "./licences.ts";
import { CASE_COLUMNS, MARK_COLUMNS, PHOTO_COLUMNS, REVIEW_COLUMNS } from "./set-builder.ts";
import { annotationsPath, PATHS } from "./set-names.ts";
import type { SetOptions } from "./set-options.ts";
import type { SetWords } from "./set-words.ts";

/** Inline, so that nothing is fetched when the description is read. */
const CONTEXT = {
  "@language": "en",
  "@vocab": "https://schema.org/",
  sc: "https://schema.org/",
  cr: "http://mlcommons.org/croissant/",
  rai: "http://mlcommons.org/croissant/RAI/",
  dct: "http://purl.org/dc/terms/",
  prov: "http://www.w3.org/ns/prov#",
  citeAs: "cr:citeAs",
  column: "cr:column",
  conformsTo: "dct:conformsTo",
  data: { "@id": "cr:data", "@type": "@json" },
  dataType: { "@id": "cr:dataType", "@type": "@vocab" },
  extract: "cr:extract",
  field: "cr:field",
  fileObject: "cr:fileObject",
  fileProperty: "cr:fileProperty",
  fileSet: "cr:fileSet",
  includes: "cr:includes",
  jsonPath: "cr:jsonPath",
  key: "cr:key",
  recordSet: "cr:recordSet",
  references: "cr:references",
  source: "cr:source",
} as const;

const CSV_TYPES: Readonly<Record<string, string>> = {
  photo_id: "sc:Integer",
  width: "sc:Integer",
  height: "sc:Integer",
  wire_diameter_um: "sc:Float",
  um_per_px: "sc:Float",
  [STRETCH_COLUMN]: "sc:Float",
  um_per_px_u: "sc:Float",
  confidence: "sc:Float",
  captured_at: "sc:DateTime",
  decided_at: "sc:DateTime",
  marked_at: "sc:DateTime",
  rendered: "sc:Boolean",
  x_px: "sc:Float",
  y_px: "sc:Float",
  width_px: "sc:Float",
  height_px: "sc:Float",
  turn_deg: "sc:Float",
  diameter_px: "sc:Float",
  out_width: "sc:Integer",
  out_height: "sc:Integer",
  px_per_diameter: "sc:Integer",
};
const DESCRIPTIONS: Readonly<Record<string, string>> = {
  um_per_px: "Micrometres per pixel; empty = no scale.",
  um_per_px_u: "Standard uncertainty (k = 1) of um_per_px; empty = not stated.",
  end: "A = end left in the machine, B = end that ran through.",
  group_id: "Breaks of one group lie in one part of the set.",
  level: "Level of confirmation by the laboratory's own ladder.",
  role: "reader = gives the label; second-reader = read without sight of the label and stands beside it.",
  decision: "Of a reader: confirmed or reopened. Of a second reader: agree, disagree, or unpaired with a label.",
  rendered: "true = computer-made picture or invented break; no figure about it is one about real breaks.",
};
/** Of the table of crops. Lengths in px are those of the upright photograph, y times `y_stretch`. */
const CROP_DESCRIPTIONS: Readonly<Record<string, string>> = {
  x_px: "Where the crop's first pixel begins in the upright photograph, px.",
  y_px: "Where the crop's first pixel begins in the upright photograph, px.",
  width_px: "Length of the crop's rows in the photograph, px.",
  height_px: "Length of the crop's columns in the photograph, px.",
  turn_deg: "Direction of the crop's rows in the photograph, degrees from +x toward +y.",
  diameter_px: "Wire diameter in the photograph, px.",
  px_per_diameter: "Pixels of the crop to one wire diameter.",
  um_per_px: "Micrometres per pixel of the crop; empty = no scale.",
  [STRETCH_COLUMN]: "Factor on y of the photograph before lengths are taken; 1 = its pixels are square.",
};
const REFERENCES: Readonly<Record<string, string>> = {
  "cases/break_type": "break_types/name",
  "cases/split": "splits/name",
  "photos/case_id": "cases/case_id",
  "reviews/case_id": "cases/case_id",
  "marks/case_id": "cases/case_id",
  "marks/photo_id": "photos/photo_id",
  "crops/photo_id": "photos/photo_id",
  "crops/case_id": "cases/case_id",
  "crops/break_type": "break_types/name",
  "crops/split": "splits/name",
};

const ref = (id: string) => ({ "@id": id });

function tableFields(table: string, columns: readonly string[]) {
  return columns.map((column) => {
    const id = `${table}/${column}`;
    const base = CSV_TYPES[column] ?? "sc:Text";
    const dataType =
      id === "cases/break_type" ? [base, "cr:Label"] : id === "reviews/reviewer" ? [base, "prov:Agent"] : base;
    const description = (table === "crops" ? CROP_DESCRIPTIONS[column] : undefined) ?? DESCRIPTIONS[column];
    return {
      "@type": "cr:Field",
      ...ref(id),
      name: column,
      ...(description === undefined ? {} : { description }),
      dataType,
      source: { fileObject: ref(`${table}.csv`), extract: { column } },
      ...(REFERENCES[id] === undefined ? {} : { references: { field: ref(REFERENCES[id]) } }),
    };
  });
}

const recordSet = (name: string, key: string, field: readonly object[], more: object = {}) => ({
  "@type": "cr:RecordSet",
  ...ref(name),
  name,
  key: ref(`${name}/${key}`),
  field,
  ...more,
});

const plainField = (id: string, dataType: string) => ({
  "@type": "cr:Field",
  ...ref(id),
  name: id.split("/")[1]!,
  dataType,
});

/**
 * Description of the whole set: Croissant 1.0 with the responsible-AI words, as JSON-LD. It vouches for the manifest by
 * its hash, and the manifest for every file.
 *
 * @param hashes – SHA-256 by path, the manifest's own among them.
 * @source Croissant 1.0 and Croissant RAI 1.0 (mlcommons.org).
 */
export function croissantOf(options: SetOptions, words: SetWords, hashes: ReadonlyMap<string, string>): object {
  const file = (id: string, path: string, encodingFormat: string) => ({
    "@type": "cr:FileObject",
    ...ref(id),
    name: id,
    contentUrl: path,
    encodingFormat,
    sha256: hashes.get(path) ?? "",
  });
  const annotated = (column: string, dataType: string, more: object = {}) => ({
    ...plainField(`annotations/${column}`, dataType),
    source: { fileSet: ref("annotation-files"), extract: { jsonPath: `$.annotations[*].${column}` } },
    ...more,
  });
  return {
    "@context": CONTEXT,
    "@type": "sc:Dataset",
    name: options.name,
    description: options.description,
    conformsTo: ["http://mlcommons.org/croissant/1.0", "http://mlcommons.org/croissant/RAI/1.0"],
    license: licenceOf(options.licence).url,
    url: options.url,
    creator: { "@type": "Organization", name: options.creator },
    datePublished: options.date,
    version: options.version,
    keywords: ["wire drawing", "wire break", "fracture surface", "both ends"],
    citeAs: `${options.creator}: ${options.name}, version ${options.version}, ${options.date}.`,
    "rai:dataCollection": words.collection,
    "rai:dataAnnotationProtocol": words.protocol,
    "rai:annotationsPerItem": words.annotationsPerItem,
    "rai:dataAnnotationAnalysis": words.agreement,
    "rai:annotatorDemographics": words.annotators,
    "rai:machineAnnotationTools": words.tools,
    "rai:dataLimitations": words.limitations,
    "rai:dataBiases": words.biases,
    "rai:dataUseCases": words.useCases,
    "rai:personalSensitiveInformation": words.personal,
    "prov:wasGeneratedBy": {
      "@type": "prov:Activity",
      "prov:wasAssociatedWith": { "@type": "prov:SoftwareAgent", name: options.app },
    },
    distribution: [
      file("manifest", PATHS.manifest, "text/plain"),
      ...SPLITS.map((split) => file(`coco-${split}`, annotationsPath(split), "application/json")),
      ...(["cases", "photos", "reviews", "marks"] as const).map((t) => file(`${t}.csv`, PATHS[t], "text/csv")),
      {
        "@type": "cr:FileSet",
        ...ref("image-files"),
        name: "image-files",
        description: "Photographs, upright. The manifest lists each with its hash.",
        containedIn: ref("manifest"),
        encodingFormat: ["image/jpeg", "image/png"],
        includes: "images/*",
      },
      {
        "@type": "cr:FileSet",
        ...ref("annotation-files"),
        name: "annotation-files",
        containedIn: ref("manifest"),
        encodingFormat: "application/json",
        includes: "annotations/instances_*.json",
      },
      ...(options.crops
        ? [
            file("crops.csv", PATHS.crops, "text/csv"),
            {
              "@type": "cr:FileSet",
              ...ref("crop-files"),
              name: "crop-files",
              description: `Parts of the photographs at ${options.crops.pxPerDiameter} pixels to one wire diameter; grey outside the photograph.`,
              containedIn: ref("manifest"),
              encodingFormat: "image/png",
              includes: "crops/*/*.png",
            },
          ]
        : []),
    ],
    recordSet: [
      recordSet("splits", "name", [plainField("splits/name", "sc:Text"), plainField("splits/url", "cr:Split")], {
        dataType: "cr:Split",
        data: [
          { "splits/name": "train", "splits/url": "cr:TrainingSplit" },
          { "splits/name": "val", "splits/url": "cr:ValidationSplit" },
          { "splits/name": "test", "splits/url": "cr:TestSplit" },
        ],
      }),
      recordSet("break_types", "name", [plainField("break_types/name", "sc:Text")], {
        dataType: "sc:Enumeration",
        data: [...BREAK_TYPE_IDS, "undetermined"].map((type) => ({ "break_types/name": type })),
      }),
      recordSet("cases", "case_id", tableFields("cases", CASE_COLUMNS)),
      recordSet("photos", "photo_id", [
        ...tableFields("photos", PHOTO_COLUMNS),
        {
          ...plainField("photos/content", "sc:ImageObject"),
          source: { fileSet: ref("image-files"), extract: { fileProperty: "content" } },
        },
      ]),
      recordSet("reviews", "review_id", tableFields("reviews", REVIEW_COLUMNS)),
      recordSet("marks", "mark_id", tableFields("marks", MARK_COLUMNS)),
      ...(options.crops
        ? [
            recordSet("crops", "crop_id", [
              ...tableFields("crops", [...CROP_COLUMNS, STRETCH_COLUMN]),
              {
                ...plainField("crops/content", "sc:ImageObject"),
                source: { fileSet: ref("crop-files"), extract: { fileProperty: "content" } },
              },
            ]),
          ]
        : []),
      recordSet("annotations", "id", [
        annotated("id", "sc:Integer"),
        annotated("image_id", "sc:Integer", { references: { field: ref("photos/photo_id") } }),
        annotated("category_id", "sc:Integer"),
        annotated("bbox", "cr:BoundingBox"),
        annotated("mark_id", "sc:Text", { references: { field: ref("marks/mark_id") } }),
      ]),
    ],
  };
}
