/** "endpair-model-learnt-here-2-mar-2026-08-00.onnx": a name that every disk takes. */
export function modelFileName(name: string): string {
  const plain = name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-|-$/g, "");
  return `${plain.startsWith("endpair") ? "" : "endpair-model-"}${plain || "unnamed"}.onnx`;
}
