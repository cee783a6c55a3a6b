import { PictureError } from "../model/picture/picture-error.ts";
import { enlarge } from "../model/picture/propose/enlarge.ts";
import { proposeMarks } from "../model/picture/propose/propose.ts";
import { proposeWithGuess, type View } from "./propose/guess-view.ts";
import { proposalLine, type ProposedPicture } from "./propose/proposal-line.ts";
import { readPicture } from "./propose/read-picture.ts";

/** Longest side on which marks are looked for, px: as on the bench. */
const SEARCHED_PX = 1600;

const HELP = `Usage: npm run -s propose -- IMAGE… [--view end|side] [--px-per-mm N]

Looks for marks in photographs of wire breaks and prints one line of JSON for each picture:
  {file, view, width, height, marks:[{feature, geometry, confidence, measures}]}
Geometry is in px of the upright picture in full size. "confidence" is the share of such proposals that were right on
rendered photographs. No mark is proposed where the pixels leave it open; "says" tells why there is none at all.

  IMAGE…        JPEG, PNG, WebP or TIFF
  --view V      end or side; left out, it is guessed from the pixels ("view": null when they show neither)
  --px-per-mm N pixels of the full-size picture per millimetre; without it only ratios and angles are measured
  --help        this text

A picture that cannot be read is named on standard error, with the reason and the next step; the others are still done.
Exit codes: 0 done, 1 some picture could not be read, 2 the command makes no sense.
`;

interface Asked {
  readonly files: readonly string[];
  readonly view: View | null;
  readonly pxPerMm: number | null;
}

class BadCommand extends Error {}

const VIEWS: Readonly<Record<string, View>> = {
  end: "end_on",
  end_on: "end_on",
  side: "side",
  side_0: "side",
  side_90: "side",
};

function asked(words: readonly string[]): Asked {
  const files: string[] = [];
  let view: View | null = null;
  let pxPerMm: number | null = null;
  for (let i = 0; i < words.length; i++) {
    const word = words[i] ?? "";
    const [name, joined] = word.startsWith("--") && word.includes("=") ? word.split("=", 2) : [word, undefined];
    const value = (): string => joined ?? words[++i] ?? "";
    if (name === "--view") {
      const given = value();
      view = VIEWS[given] ?? null;
      if (view === null) throw new BadCommand(`--view is "end" or "side", not "${given}".`);
    } else if (name === "--px-per-mm") {
      const given = value();
      pxPerMm = given.trim() === "" ? NaN : Number(given);
      if (!(pxPerMm > 0) || !Number.isFinite(pxPerMm))
        throw new BadCommand(`--px-per-mm is a number above 0, not "${given}".`);
    } else if (word.startsWith("--")) throw new BadCommand(`There is no option ${word}.`);
    else files.push(word);
  }
  if (files.length === 0) throw new BadCommand("Name at least one picture.");
  return { files, view, pxPerMm };
}

async function proposed(file: string, { view, pxPerMm }: Asked): Promise<ProposedPicture> {
  const { raster, widthPx, heightPx } = await readPicture(file, SEARCHED_PX);
  const shrunkBy = widthPx / raster.widthPx;
  const scale = pxPerMm === null ? null : pxPerMm / shrunkBy;
  const guess =
    view === null
      ? proposeWithGuess(raster, scale)
      : { view, found: proposeMarks({ raster, view, pxPerMm: scale, wireMm: null }) };
  return {
    file,
    view: guess.view === null ? null : guess.view === "end_on" ? "end_on" : "side_0",
    widthPx,
    heightPx,
    pxPerMm,
    axisDeg: guess.found.axisDeg,
    marks: guess.found.marks.map((mark) => ({ ...mark, geometry: enlarge(mark.geometry, shrunkBy) })),
    says: guess.found.says,
  };
}

async function main(words: readonly string[]): Promise<number> {
  if (words.includes("--help")) {
    process.stdout.write(HELP);
    return 0;
  }
  let task: Asked;
  try {
    task = asked(words);
  } catch (error) {
    if (!(error instanceof BadCommand)) throw error;
    process.stderr.write(`${error.message}\nnpm run -s propose -- --help tells what it takes.\n`);
    return 2;
  }
  let code = 0;
  for (const file of task.files) {
    try {
      process.stdout.write(`${JSON.stringify(proposalLine(await proposed(file, task)))}\n`);
    } catch (error) {
      const known =
        error instanceof PictureError
          ? error
          : new PictureError("decoder-failed", `The picture cannot be decoded: ${String(error)}.`);
      process.stderr.write(`${file}: ${known.message} ${known.next} (${known.code})\n`);
      code = 1;
    }
  }
  return code;
}

process.exitCode = await main(process.argv.slice(2));
