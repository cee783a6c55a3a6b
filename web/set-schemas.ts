import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import standalone from "ajv/dist/standalone/index.js";
import formats from "ajv-formats";
import type { Plugin } from "vite";

const NAME = "virtual:set-schemas";
const schemaText = (name: string): string =>
  readFileSync(new URL(`../scripts/schema/${name}`, import.meta.url), "utf8");

/**
 * The schemas and shapes of reference sets as a module. The schemas are compiled while building: the policy of the page
 * forbids making script from text while it runs.
 */
export function setSchemas(): Plugin {
  return {
    name: "endpair-set-schemas",
    resolveId: (id) => (id === NAME ? `\0${NAME}` : null),
    load: (id) => (id === `\0${NAME}` ? compiled() : null),
  };
}

function compiled(): string {
  const ajv = new Ajv2020({
    allErrors: true,
    strict: true,
    strictTypes: false,
    strictRequired: false,
    code: { source: true, esm: true },
  });
  formats(ajv);
  const of = { coco: "coco-set.schema.json", croissant: "croissant-set.schema.json" };
  const ids = Object.entries(of).map(([name, file]): [string, string] => {
    const schema = JSON.parse(schemaText(file)) as { $id: string };
    ajv.addSchema(schema);
    return [name, schema.$id];
  });
  const code = standalone(ajv, Object.fromEntries(ids));
  return `${withImports(code)}\nexport const shapes = ${JSON.stringify(schemaText("croissant-set.shapes.ttl"))};`;
}

/** ajv writes `require` for its helpers even in modules. */
function withImports(code: string): string {
  const names = new Map<string, string>();
  const body = code.replaceAll(/require\("([^"]+)"\)/g, (_all, path: string) => {
    if (!names.has(path)) names.set(path, `helper${names.size}`);
    return names.get(path)!;
  });
  const imports = [...names].map(([path, name]) => `import * as ${name}_all from ${JSON.stringify(`${path}.js`)};`);
  // Bundlers hand CommonJS over either as the namespace or as its default.
  const picks = [...names.values()].map(
    (name) => `const ${name} = ${name}_all.default?.__esModule ? ${name}_all.default : ${name}_all;`,
  );
  return [...imports, ...picks, body].join("\n");
}
