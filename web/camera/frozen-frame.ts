import { cameraError } from "./camera-error.ts";

/** A frame that was frozen: shown at once, encoded meanwhile. */
export interface FrozenFrame {
  readonly bitmap: ImageBitmap;
  /** The frame as PNG, pixel for pixel. */
  readonly png: Promise<Blob>;
  /** Time of freezing, ISO 8601 with offset. */
  readonly at: string;
}

/** Where the browser can take single frames from a track. */
interface FrameGrabber {
  grabFrame(): Promise<ImageBitmap>;
}
type FrameGrabberMaker = new (track: MediaStreamTrack) => FrameGrabber;
const offersGrabber = (scope: object): scope is { ImageCapture: FrameGrabberMaker } => "ImageCapture" in scope;

/**
 * Freezes what the camera shows, at the resolution it runs at and without loss.
 *
 * A camera's own still picture (takePhoto) comes as lossy JPEG, may have another pixel size than the live view, and so
 * another scale than was calibrated; the frame itself is taken instead.
 *
 * @throws CameraError no-frame.
 */
export async function freezeFrame(track: MediaStreamTrack, video: HTMLVideoElement, at: string): Promise<FrozenFrame> {
  const bitmap = await frameOf(track, video);
  return { bitmap, png: encode(bitmap), at };
}

/** How long the browser may take to hand over one frame. */
const GRAB_MS = 2500;

async function frameOf(track: MediaStreamTrack, video: HTMLVideoElement): Promise<ImageBitmap> {
  if (offersGrabber(globalThis) && track.readyState === "live") {
    const late = new Promise<null>((resolve) => setTimeout(() => resolve(null), GRAB_MS));
    // A track that cannot be grabbed from, or is too slow, still shows its picture in the video.
    const grabbed = await Promise.race([new ImageCapture(track).grabFrame().catch(() => null), late]);
    if (grabbed !== null) return grabbed;
  }
  if (video.videoWidth === 0) throw cameraError("no-frame");
  return createImageBitmap(video);
}

declare const ImageCapture: FrameGrabberMaker;

async function encode(bitmap: ImageBitmap): Promise<Blob> {
  const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
  const context = canvas.getContext("2d", { alpha: false });
  if (context === null) throw cameraError("no-frame");
  context.drawImage(bitmap, 0, 0);
  return canvas.convertToBlob({ type: "image/png" });
}
