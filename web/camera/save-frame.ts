/** Hands a frame to the downloads, for when it cannot be kept here. */
export function saveFrame(file: File): void {
  const url = URL.createObjectURL(file);
  const link = document.createElement("a");
  link.href = url;
  link.download = file.name;
  document.body.append(link);
  link.click();
  link.remove();
  // The browser may still be reading the file when the click returns.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
