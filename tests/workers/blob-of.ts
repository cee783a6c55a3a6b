/** @returns the bytes of a file that came over as base64. */
export function bytesOf(base64: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(base64), (character) => character.charCodeAt(0));
}

export function blobOf(base64: string): Blob {
  return new Blob([bytesOf(base64)]);
}
