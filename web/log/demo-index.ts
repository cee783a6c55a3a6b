/**
 * Numbers of the demo breaks, read from the index beside the application; each names a folder of its own.
 *
 * @returns an empty list when there is no demo mill here.
 */
export async function readDemoIndex(samples: URL, signal?: AbortSignal): Promise<readonly string[]> {
  const response = await fetch(new URL("index.json", samples), signal === undefined ? {} : { signal });
  if (!response.ok) return [];
  const index: unknown = await response.json();
  const list: unknown = Array.isArray(index) ? index : (index as { breaks?: unknown } | null)?.breaks;
  if (!Array.isArray(list)) return [];
  return list
    .map((item: unknown) => (typeof item === "string" ? item : (item as { number?: unknown } | null)?.number))
    .filter((number): number is string => typeof number === "string" && /^[\w-]+$/.test(number));
}
