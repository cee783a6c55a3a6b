import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { Ajv2020, type ValidateFunction } from "ajv/dist/2020.js";
import formats from "ajv-formats";
import type { CheckTools } from "../../model/reference/check/check-set.ts";
import { pictureFacts, schemaSentence } from "../../web/reference/check/picture-facts.ts";
import { shapesCheck } from "../../web/reference/check/shapes-check.ts";

const schemaText = (name: string): string => readFileSync(new URL(`../schema/${name}`, import.meta.url), "utf8");

/** The check's tools in Node: ajv for the schemas, jsonld, n3 and rdf-validate-shacl for the shapes. */
export function checkTools(onProgress?: CheckTools["onProgress"]): CheckTools {
  const ajv = new Ajv2020({ allErrors: true, strict: true, strictTypes: false, strictRequired: false });
  formats(ajv);
  const validators: Record<"coco" | "croissant", ValidateFunction> = {
    coco: ajv.compile(JSON.parse(schemaText("coco-set.schema.json")) as object),
    croissant: ajv.compile(JSON.parse(schemaText("croissant-set.schema.json")) as object),
  };
  return {
    sha256: (bytes) => Promise.resolve(createHash("sha256").update(bytes).digest("hex")),
    text: (bytes) => new TextDecoder().decode(bytes),
    schema(which, content) {
      const validate = validators[which];
      return validate(content) ? [] : (validate.errors ?? []).map(schemaSentence);
    },
    shapes: shapesCheck(schemaText("croissant-set.shapes.ttl")),
    picture: pictureFacts,
    ...(onProgress ? { onProgress } : {}),
  };
}
