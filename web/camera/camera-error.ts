export type CameraErrorCode =
  "not-offered" | "refused" | "no-camera" | "busy" | "resolution-refused" | "unplugged" | "no-frame";

/** A camera that cannot be used: `message` is a plain sentence, `next` the next step. */
export class CameraError extends Error {
  constructor(
    readonly code: CameraErrorCode,
    message: string,
    readonly next: string,
  ) {
    super(message);
    this.name = "CameraError";
  }
}

const WORDS: Readonly<Record<CameraErrorCode, readonly [message: string, next: string]>> = {
  "not-offered": [
    "This browser gives no access to cameras at this address.",
    "Open Endpair over https or from localhost, or bring photographs in as files.",
  ],
  refused: [
    "The browser was told not to give Endpair the camera.",
    "Allow the camera for this address (the sign beside the address line), then try again. The picture stays on this machine.",
  ],
  "no-camera": ["No camera was found.", "Plug the microscope camera in and switch it on; it is tried again by itself."],
  busy: [
    "The camera is there but gives no picture: another program may be using it.",
    "Close the other program or unplug the camera and plug it in again, then try again.",
  ],
  "resolution-refused": [
    "The camera does not offer this resolution.",
    "It now runs at one of its own; choose another from the list.",
  ],
  unplugged: [
    "The camera is gone: it was unplugged or switched off.",
    "Plug it in again; it is tried again by itself.",
  ],
  "no-frame": ["The camera gave no picture just now.", "Freeze again; if it happens again, choose the camera anew."],
};

export const cameraError = (code: CameraErrorCode): CameraError => new CameraError(code, ...WORDS[code]);

/** What the browser says about a camera, in the words of the bench. */
export function cameraErrorOf(error: unknown): CameraError {
  if (error instanceof CameraError) return error;
  switch (error instanceof Error || error instanceof DOMException ? error.name : "") {
    case "NotAllowedError":
    case "SecurityError":
      return cameraError("refused");
    case "NotFoundError":
      return cameraError("no-camera");
    case "OverconstrainedError":
      return cameraError("resolution-refused");
    default:
      return cameraError("busy");
  }
}
