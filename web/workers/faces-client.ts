import type { FaceComparison } from "../../model/picture/mating/compare-faces.ts";
import { timeLimitMs } from "../../model/picture/limits.ts";
import { MatingError } from "../../model/picture/mating/mating-error.ts";
import type { FacesRequests } from "./faces-protocol.ts";
import { createPool, type RequestOptions, type WorkerLike } from "./worker-pool.ts";

export interface FacesClient {
  /** @throws MatingError when the faces cannot be compared; PictureError the file's own fault, cancelled, timed-out. */
  compare(input: FacesRequests["compare"]["input"], options?: RequestOptions): Promise<FaceComparison>;
  /** The receiver closes the bitmap. */
  cut(input: FacesRequests["cut"]["input"], signal?: AbortSignal): Promise<ImageBitmap>;
  close(): void;
}

/** Laying faces over each other takes some seconds on a slow computer. */
const COMPARING_MS = 60_000;

const standardWorker = (): WorkerLike =>
  new Worker(new URL("./faces.worker.ts", import.meta.url), { type: "module", name: "faces" });

/** Compares faces beside the page. Pictures to show go first, so that there is something to look at meanwhile. */
export function createFacesClient(makeWorker: () => WorkerLike = standardWorker): FacesClient {
  const pool = createPool<FacesRequests>({
    makeWorker,
    threads: 2,
    limitMs: (name, input) => (name === "cut" && "face" in input ? timeLimitMs(input.face.blob.size) : COMPARING_MS),
    isUrgent: (name) => name === "cut",
    release: (output) => {
      if (output instanceof ImageBitmap) output.close();
    },
    words: {
      crashed: "Laying the faces over each other failed and was stopped.",
      slow: (seconds) => `Laying the faces over each other took longer than ${seconds} s and was stopped.`,
      cancelled: "The comparison was cancelled.",
    },
  });
  return {
    async compare(input, options) {
      const answer = await pool.request("compare", input, options);
      if ("comparison" in answer) return answer.comparison;
      const { code, message, nextStep } = answer.refused;
      throw new MatingError(code, message, nextStep);
    },
    cut: (input, signal) => pool.request("cut", input, { signal }),
    close: () => pool.close(),
  };
}
