import type { ViewSettings } from "../view-settings.ts";
import { isPlainView } from "../view-settings.ts";

/** "+0.7", "−1"; never a sign alone before nothing. */
export function signed(value: number): string {
  const digits = String(Math.round(Math.abs(value) * 100) / 100);
  return digits === "0" ? "0" : `${value < 0 ? "−" : "+"}${digits}`;
}

/**
 * How a photograph is shown, in words for the bench and the sheet: "+0.7 stops, local contrast 0.4".
 *
 * @returns null when it is shown as it is.
 */
export function viewWords(view: ViewSettings | undefined): string | null {
  if (view === undefined || isPlainView(view)) return null;
  const { exposureEv, contrast, localContrast, flatField, neutral } = view;
  return [
    exposureEv === 0 ? null : `${signed(exposureEv)} ${Math.abs(exposureEv) === 1 ? "stop" : "stops"}`,
    contrast === 0 ? null : `contrast ${signed(contrast)}`,
    localContrast === 0 ? null : `local contrast ${Math.round(localContrast * 100) / 100}`,
    flatField === null ? null : `flat field from ${flatField.fileName}`,
    neutral === null
      ? null
      : neutral.from === undefined
        ? "colours neutral by a grey patch"
        : `colours neutral by a grey patch of ${neutral.from.fileName}`,
  ]
    .filter((part) => part !== null)
    .join(", ");
}
