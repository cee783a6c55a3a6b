import { cameraError, cameraErrorOf, type CameraErrorCode } from "./camera-error.ts";

export interface Camera {
  readonly id: string;
  readonly name: string;
}
export interface PictureSize {
  readonly widthPx: number;
  readonly heightPx: number;
}
export interface CameraChoice {
  /** null = whichever the browser gives. */
  readonly cameraId: string | null;
  /** null = the largest the camera has. */
  readonly size: PictureSize | null;
}
export interface OpenedCamera {
  readonly stream: MediaStream;
  readonly track: MediaStreamTrack;
  readonly cameraId: string | null;
  readonly name: string;
  readonly size: PictureSize;
  /** Sizes to choose from: usual ones up to the largest the camera states. */
  readonly sizes: readonly PictureSize[];
  /** Why the choice was not followed; null when it was. */
  readonly fellBack: CameraErrorCode | null;
}

/** `resizeMode` keeps the browser from scaling frames, which would change the pixels per millimetre unseen. */
type VideoWish = MediaTrackConstraints & { readonly resizeMode?: ConstrainDOMString };

const devices = (): MediaDevices => {
  // Absent on pages that are neither https nor localhost.
  const offered: MediaDevices | undefined = navigator.mediaDevices;
  if (offered === undefined) throw cameraError("not-offered");
  return offered;
};

/** @returns cameras with their names; names are only known once a camera was allowed. @throws CameraError */
export async function listCameras(): Promise<readonly Camera[]> {
  const found = (await devices().enumerateDevices()).filter((d) => d.kind === "videoinput" && d.deviceId !== "");
  return found.map((d, i) => ({ id: d.deviceId, name: d.label || `camera ${i + 1}` }));
}

/** Calls back when cameras are plugged in or out. @returns the function that stops it. */
export function onCamerasChanged(then: () => void): () => void {
  const offered: MediaDevices | undefined = navigator.mediaDevices;
  offered?.addEventListener("devicechange", then);
  return () => offered?.removeEventListener("devicechange", then);
}

const LARGEST_ASKED = { width: { ideal: 8192 }, height: { ideal: 6144 } };

/**
 * Opens a camera, sound never. A size it refuses, or a camera that is no longer there, falls back to what there is and
 * says so.
 *
 * @throws CameraError refused, no-camera, busy, not-offered.
 */
export async function openCamera({ cameraId, size }: CameraChoice): Promise<OpenedCamera> {
  const which = cameraId === null ? {} : { deviceId: { exact: cameraId } };
  const sized = size === null ? LARGEST_ASKED : { width: { exact: size.widthPx }, height: { exact: size.heightPx } };
  const own = { resizeMode: { exact: "none" } };
  const wishes: readonly { readonly video: VideoWish; readonly lost: CameraErrorCode | null }[] = [
    { video: { ...which, ...sized, ...own }, lost: null },
    { video: { ...which, ...LARGEST_ASKED, ...own }, lost: size === null ? null : "resolution-refused" },
    { video: { ...LARGEST_ASKED }, lost: cameraId === null ? "resolution-refused" : "no-camera" },
  ];
  for (const { video, lost } of wishes) {
    try {
      return opened(await devices().getUserMedia({ video, audio: false }), lost);
    } catch (error) {
      const known = cameraErrorOf(error);
      if (known.code !== "resolution-refused") throw known;
    }
  }
  throw cameraError("no-camera");
}

function opened(stream: MediaStream, fellBack: CameraErrorCode | null): OpenedCamera {
  const [track] = stream.getVideoTracks();
  if (track === undefined) throw cameraError("no-camera");
  const { deviceId, width, height } = track.getSettings();
  const size = { widthPx: width ?? 0, heightPx: height ?? 0 };
  return { stream, track, cameraId: deviceId ?? null, name: track.label, size, sizes: sizesOf(track, size), fellBack };
}

export const stopCamera = (stream: MediaStream | null): void => stream?.getTracks().forEach((track) => track.stop());

/** Sizes cameras usually have; a browser only states the largest. @source common practice, no source */
const USUAL: readonly (readonly [number, number])[] = [
  [640, 480],
  [1024, 768],
  [1280, 720],
  [1280, 960],
  [1600, 1200],
  [1920, 1080],
  [2048, 1536],
  [2592, 1944],
  [3264, 2448],
  [3840, 2160],
  [4000, 3000],
  [5472, 3648],
];

/** Usual sizes up to the largest stated, the largest and the one in use among them, largest first. */
export function sizesOf(track: Pick<MediaStreamTrack, "getCapabilities">, inUse: PictureSize): readonly PictureSize[] {
  const stated = typeof track.getCapabilities === "function" ? track.getCapabilities() : {};
  const [most, tallest] = [stated.width?.max ?? inUse.widthPx, stated.height?.max ?? inUse.heightPx];
  const all = [
    ...USUAL.filter(([w, h]) => w <= most && h <= tallest),
    [most, tallest],
    [inUse.widthPx, inUse.heightPx],
  ];
  const byName = new Map(all.map(([w = 0, h = 0]) => [`${w}x${h}`, { widthPx: w, heightPx: h }]));
  return [...byName.values()].sort((a, b) => b.widthPx * b.heightPx - a.widthPx * a.heightPx);
}
