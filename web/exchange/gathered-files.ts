import { PictureError } from "../../model/picture/picture-error.ts";
import { listFiles, readFile } from "../storage/zip-reading.ts";
import { BenchFileError } from "../storage/bench-file-error.ts";

/** A file that was chosen, or that lies in a zip that was chosen; its bytes are read when they are asked for. */
export interface Gathered {
  /** With folders, as far as they are known. */
  readonly path: string;
  open(signal?: AbortSignal): Promise<Blob>;
}

const BELONGS = /\.(json|csv|md|txt|jpe?g|png|webp|bmp|tiff?)$/i;
const PICTURE = /\.(jpe?g|png|webp|bmp|tiff?)$/i;
const PLAN = { belongs: (path: string) => BELONGS.test(path), isPicture: (path: string) => PICTURE.test(path) };

export const isPicturePath = (path: string): boolean => PICTURE.test(path);
export const isJsonPath = (path: string): boolean => /\.json$/i.test(path);

/** Files as they were chosen, zips opened. @throws BenchFileError: a zip is none, or holds what does not belong there. */
export async function gatheredFrom(files: readonly File[], signal?: AbortSignal): Promise<readonly Gathered[]> {
  const found: Gathered[] = [];
  for (const file of files)
    if (/\.zip$/i.test(file.name))
      for (const [path, entry] of await listFiles(file, signal, PLAN))
        found.push({
          path,
          open: async (stop) => new File([await readFile(entry, stop, true)], path.split("/").at(-1) ?? path),
        });
    else found.push({ path: file.webkitRelativePath || file.name, open: () => Promise.resolve(file) });
  return found;
}

/** Finds the file a name stands for: by its whole path, else by its last part when only one file has it. */
export function finderOf(files: readonly Gathered[]): (name: string) => Gathered | null {
  const byPath = new Map<string, Gathered>();
  const byName = new Map<string, Gathered | null>();
  for (const file of files) {
    const path = file.path.replaceAll("\\", "/").toLowerCase();
    const name = path.split("/").at(-1)!;
    byPath.set(path, file);
    byName.set(name, byName.has(name) ? null : file);
  }
  return (wanted) => {
    const path = wanted.replaceAll("\\", "/").toLowerCase();
    return byPath.get(path) ?? byName.get(path.split("/").at(-1)!) ?? null;
  };
}

/** The sentence of a file that cannot be used; anything else goes on up. */
export function faultWords(error: unknown): string {
  if (error instanceof PictureError || error instanceof BenchFileError) return `${error.message} ${error.next}`;
  throw error;
}
