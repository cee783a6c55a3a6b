/** What a file tells about belonging to a focus series. */
export interface SeriesCandidate {
  readonly fileName: string;
  readonly widthPx: number;
  readonly heightPx: number;
  /** "YYYY-MM-DDTHH:MM:SS" with or without offset; null = none. */
  readonly capturedAt: string | null;
}

/** Fewer frames with running numbers are more likely single photographs. @source common practice, no source */
const FEWEST = 4;
/** Frames of a series are taken one after the other. @source common practice, no source */
const MOST_SECONDS_APART = 15;

/** The last number in a file name, and the name without it. */
function numbered(fileName: string): { readonly stem: string; readonly number: number } | null {
  const bare = fileName.replace(/\.[^.]*$/, "");
  const found = /^(.*?)(\d+)(\D*)$/.exec(bare);
  return found ? { stem: `${found[1] ?? ""}#${found[3] ?? ""}`, number: Number(found[2]) } : null;
}

function seconds(capturedAt: string | null): number | null {
  const at = capturedAt === null ? Number.NaN : Date.parse(capturedAt.length === 19 ? `${capturedAt}Z` : capturedAt);
  return Number.isFinite(at) ? at / 1000 : null;
}

/**
 * Files that look like one focus series: four or more of one size, named alike with running numbers and, where the
 * camera wrote a time, taken within 15 s of each other. Only a proposal: pictures of different ends may look so too.
 *
 * @returns groups in the order of their numbers; files in no group are left out.
 */
export function findSeries<T extends SeriesCandidate>(files: readonly T[]): readonly (readonly T[])[] {
  const byName = new Map<string, { readonly file: T; readonly number: number }[]>();
  for (const file of files) {
    const name = numbered(file.fileName);
    if (name === null) continue;
    const key = `${name.stem}/${String(file.widthPx)}x${String(file.heightPx)}`;
    byName.set(key, [...(byName.get(key) ?? []), { file, number: name.number }]);
  }
  const found: T[][] = [];
  for (const group of byName.values()) {
    group.sort((a, b) => a.number - b.number);
    let run: typeof group = [];
    const close = () => {
      if (run.length >= FEWEST) found.push(run.map((r) => r.file));
      run = [];
    };
    for (const one of group) {
      const last = run.at(-1);
      if (last !== undefined) {
        const [a, b] = [seconds(last.file.capturedAt), seconds(one.file.capturedAt)];
        const near = a === null || b === null ? a === b : Math.abs(b - a) <= MOST_SECONDS_APART;
        if (one.number !== last.number + 1 || !near) close();
      }
      run.push(one);
    }
    close();
  }
  return found;
}
