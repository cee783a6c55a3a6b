/** Whether an error only says that a person stopped the work. */
export const wasStopped = (error: unknown): boolean =>
  (error instanceof Error && "code" in error && error.code === "cancelled") ||
  (error instanceof DOMException && error.name === "AbortError");
