import jsonld from "jsonld";
import { Parser, Store } from "n3";
import SHACLValidator from "rdf-validate-shacl";

/**
 * SHACL shapes as a check of descriptions: jsonld, n3 and rdf-validate-shacl, the same in Node and in the browser.
 * Nothing is fetched.
 *
 * @param shapes – Turtle.
 * @returns what the shapes have against a JSON-LD description, each a sentence.
 */
export function shapesCheck(shapes: string): (description: unknown) => Promise<readonly string[]> {
  const validator = new SHACLValidator(new Store(new Parser().parse(shapes)));
  const last = (term: { readonly value: string } | null | undefined) => term?.value.split(/[#/]/).at(-1) ?? "";
  return async (description) => {
    try {
      const quads = await jsonld.toRDF(description as object, {
        format: "application/n-quads",
        base: "urn:set/",
        documentLoader: (url) => Promise.reject(new Error(`It wants to fetch ${url}; nothing is fetched here.`)),
      });
      const report = await validator.validate(new Store(new Parser({ format: "N-Quads" }).parse(quads)));
      return report.results.map(
        (result) =>
          `${result.focusNode?.value ?? ""}: ${last(result.path)} does not meet ${last(result.sourceConstraintComponent)}.`,
      );
    } catch (error) {
      return [`It cannot be read as JSON-LD: ${error instanceof Error ? error.message : String(error)}`];
    }
  };
}
