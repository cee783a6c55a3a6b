import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { Ajv2020, type ValidateFunction } from "ajv/dist/2020.js";
import formats from "ajv-formats";
import jsonld from "jsonld";
import { Parser, Store } from "n3";
import SHACLValidator from "rdf-validate-shacl";
import { readerOf } from "../../model/picture/byte-reader.ts";
import { readCameraData } from "../../model/picture/camera-data.ts";
import { readPictureHeader } from "../../model/picture/sniff.ts";
import type { CheckTools } from "../../model/reference/check/check-set.ts";

const schemaText = (name: string): string => readFileSync(new URL(`../schema/${name}`, import.meta.url), "utf8");

/** The check's tools in Node: ajv for the schemas, jsonld, n3 and rdf-validate-shacl for the shapes. */
export function checkTools(onProgress?: CheckTools["onProgress"]): CheckTools {
  const ajv = new Ajv2020({ allErrors: true, strict: true, strictTypes: false, strictRequired: false });
  formats(ajv);
  const validators: Record<"coco" | "croissant", ValidateFunction> = {
    coco: ajv.compile(JSON.parse(schemaText("coco-set.schema.json")) as object),
    croissant: ajv.compile(JSON.parse(schemaText("croissant-set.schema.json")) as object),
  };
  const shapes = new SHACLValidator(new Store(new Parser().parse(schemaText("croissant-set.shapes.ttl"))));
  return {
    sha256: (bytes) => Promise.resolve(createHash("sha256").update(bytes).digest("hex")),
    text: (bytes) => new TextDecoder().decode(bytes),
    schema(which, content) {
      const validate = validators[which];
      if (validate(content)) return [];
      return (validate.errors ?? []).map((e) => `${e.instancePath || "the whole"} ${e.message ?? "is not right"}.`);
    },
    async shapes(description) {
      try {
        const quads = await jsonld.toRDF(description as object, {
          format: "application/n-quads",
          base: "urn:set/",
          documentLoader: (url) => Promise.reject(new Error(`It wants to fetch ${url}; nothing is fetched here.`)),
        });
        const report = await shapes.validate(new Store(new Parser({ format: "N-Quads" }).parse(quads)));
        return report.results.map((result) => {
          const last = (term: { readonly value: string } | null | undefined) => term?.value.split(/[#/]/).at(-1) ?? "";
          return `${result.focusNode?.value ?? ""}: ${last(result.path)} does not meet ${last(result.sourceConstraintComponent)}.`;
        });
      } catch (error) {
        return [`It cannot be read as JSON-LD: ${error instanceof Error ? error.message : String(error)}`];
      }
    },
    async picture(bytes) {
      try {
        const reader = readerOf(bytes);
        const header = await readPictureHeader(reader, "whole");
        const { orientation } = await readCameraData(reader, header);
        return { widthPx: header.widthPx, heightPx: header.heightPx, orientation };
      } catch {
        return null; // Told as picture-unreadable, with its path.
      }
    },
    ...(onProgress ? { onProgress } : {}),
  };
}
