import type { Faults } from "./fault.ts";

const WHERE = "croissant.json";

/** A JSON value with its keys. */
type Json = null | string | number | boolean | readonly Json[] | { readonly [key: string]: Json };

/**
 * What a description says about itself: nothing is fetched when it is read, every reference leads somewhere, no
 * identifier stands for two things, every file it names is there with the hash it states.
 *
 * @param hashes – SHA-256 of the files of the set.
 */
export function checkCroissant(description: unknown, hashes: ReadonlyMap<string, string>, faults: Faults): void {
  const whole = description as Json;
  const defined = new Set<string>();
  const used: { readonly id: string; readonly where: string }[] = [];
  const walk = (value: Json, where: string): void => {
    if (Array.isArray(value)) return (value as readonly Json[]).forEach((inner, i) => walk(inner, `${where}[${i}]`));
    if (typeof value !== "object" || value === null) return;
    const node = value as { readonly [key: string]: Json };
    const id = node["@id"];
    if (typeof id === "string") {
      if (Object.keys(node).length === 1) used.push({ id, where });
      else if (defined.has(id)) faults.add("duplicate-id", `${WHERE} ${where}`, `"${id}" stands for two things.`);
      else defined.add(id);
    }
    for (const [key, inner] of Object.entries(node))
      if (key !== "@context" && key !== "data" && key !== "examples") walk(inner, `${where}.${key}`);
  };
  walk(whole, "");
  for (const { id, where } of used)
    if (!defined.has(id)) faults.add("dangling-reference", `${WHERE} ${where}`, `There is no "${id}".`);
  const top = (typeof whole === "object" && whole !== null && !Array.isArray(whole) ? whole : {}) as Record<
    string,
    Json
  >;
  if (contextsOf(top["@context"] ?? null).some((context) => typeof context === "string"))
    faults.add(
      "remote-context",
      WHERE,
      "Its context is an address: reading it would fetch something. Write it inline.",
    );
  const files = Array.isArray(top["distribution"]) ? (top["distribution"] as readonly Json[]) : [];
  for (const file of files) {
    if (typeof file !== "object" || file === null || Array.isArray(file)) continue;
    const { contentUrl, sha256 } = file as Record<string, Json>;
    if (typeof contentUrl !== "string") continue;
    if (!hashes.has(contentUrl)) faults.add("file-missing", WHERE, `It names ${contentUrl}, which is not in the set.`);
    else if (hashes.get(contentUrl) !== sha256)
      faults.add("wrong-hash", `${WHERE}, ${contentUrl}`, "The file has another hash than the description states.");
  }
}

/** The contexts there are, also inside one another. */
function contextsOf(context: Json): readonly Json[] {
  if (Array.isArray(context)) return (context as readonly Json[]).flatMap(contextsOf);
  if (typeof context !== "object" || context === null) return context === null ? [] : [context];
  const inner = context as { readonly [key: string]: Json };
  const nested = Object.values(inner).flatMap((term) =>
    typeof term === "object" && term !== null && !Array.isArray(term)
      ? contextsOf((term as { readonly [key: string]: Json })["@context"] ?? null)
      : [],
  );
  return [...("@import" in inner ? [inner["@import"]!] : []), ...nested];
}
