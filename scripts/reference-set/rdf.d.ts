/** The parts used of two packages that bring no types. */
declare module "jsonld" {
  interface Options {
    readonly format: "application/n-quads";
    readonly documentLoader: (url: string) => Promise<never>;
    readonly base: string;
  }
  const jsonld: { toRDF(document: object, options: Options): Promise<string> };
  export default jsonld;
}
declare module "n3" {
  import type { DatasetCore, Quad } from "@rdfjs/types";
  export class Parser {
    constructor(options?: { readonly format: string });
    parse(text: string): Quad[];
  }
  export class Store {
    constructor(quads: readonly Quad[]);
  }
  export interface Store extends DatasetCore {}
}
