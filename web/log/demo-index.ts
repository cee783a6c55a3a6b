/** A break of the demo mill as the index lists it. */
export interface DemoRow {
  readonly number: string;
  /** Whether its drawing route lies beside its sheet. */
  readonly route: boolean;
}

/**
 * Numbers of the demo breaks, read from the index beside the application; each names a folder of its own.
 *
 * @returns an empty list when there is no demo mill here.
 */
export async function readDemoIndex(samples: URL, signal?: AbortSignal): Promise<readonly DemoRow[]> {
  const response = await fetch(new URL("index.json", samples), signal === undefined ? {} : { signal });
  if (!response.ok) return [];
  const index: unknown = await response.json();
  const list: unknown = Array.isArray(index) ? index : (index as { breaks?: unknown } | null)?.breaks;
  if (!Array.isArray(list)) return [];
  return list
    .map((item: unknown) => (typeof item === "string" ? { number: item } : (item as Record<string, unknown> | null)))
    .flatMap((row): DemoRow[] => {
      const number = row?.["number"];
      if (typeof number !== "string" || !/^[\w-]+$/.test(number)) return [];
      return [{ number, route: row !== null && "route" in row && row.route === "route.json" }];
    });
}
