import { PictureError } from "../../model/picture/picture-error.ts";
import { createLiveClient, type LiveClient } from "../workers/live-client.ts";
import type { LiveReading } from "../workers/live-protocol.ts";

/** Side of the square in the middle that the focus number is read from, px of the camera. */
export const CENTRE_PX = 384;
/** Width of the copy that is looked through for clipped highlights, px. */
const SMALL_PX = 320;
/** Pause between readings: about eight a second, enough for a hand on the focus knob. */
const PAUSE_MS = 110;

/** Focus number and clipped highlights of the live view, read beside the page a few times a second. */
export class Meter {
  reading = $state.raw<LiveReading | null>(null);
  /** Best focus number since the mark was last taken off. */
  best = $state(0);
  readonly #client: LiveClient;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #closed = false;

  constructor(client: LiveClient = createLiveClient()) {
    this.#client = client;
  }

  /** Reads the video until the function returned is called. @param onFault – told of faults of ours. */
  follow(video: HTMLVideoElement, onFault: (error: unknown) => void): () => void {
    const stop = new AbortController();
    const turn = async () => {
      const { videoWidth, videoHeight } = video;
      if (video.readyState >= HTMLMediaElement.HAVE_CURRENT_DATA) await this.#read(video, videoWidth, videoHeight, stop.signal); // prettier-ignore
      if (!stop.signal.aborted) this.#timer = setTimeout(again, PAUSE_MS);
    };
    const again = () => void turn().catch(onFault);
    again();
    return () => {
      stop.abort();
      if (this.#timer !== null) clearTimeout(this.#timer);
    };
  }

  /** Reads one frozen frame. */
  look(frame: ImageBitmap, onFault: (error: unknown) => void): () => void {
    const stop = new AbortController();
    this.#read(frame, frame.width, frame.height, stop.signal).catch(onFault);
    return () => stop.abort();
  }

  forgetBest(): void {
    this.best = 0;
  }

  close(): void {
    this.#closed = true;
    this.#client.close();
  }

  async #read(source: HTMLVideoElement | ImageBitmap, w: number, h: number, signal: AbortSignal): Promise<void> {
    if (w === 0 || this.#closed) return;
    const side = Math.min(CENTRE_PX, w, h);
    try {
      const [centre, small] = await Promise.all([
        createImageBitmap(source, Math.floor((w - side) / 2), Math.floor((h - side) / 2), side, side),
        createImageBitmap(source, { resizeWidth: SMALL_PX, resizeHeight: Math.round((SMALL_PX * h) / w), resizeQuality: "pixelated" }), // prettier-ignore
      ]);
      const reading = await this.#client.read({ centre, small }, signal);
      this.reading = reading;
      this.best = Math.max(this.best, reading.focus);
    } catch (error) {
      // A frame lost while the camera changes, or a reading that was stopped: the next one comes.
      if (!(error instanceof PictureError) && !(error instanceof DOMException)) throw error;
    }
  }
}
