/** Why drawing mechanics cannot be computed. The codes are stable. */
export type RouteErrorCode =
  | "diameters-not-a-reduction"
  | "semi-angle-out-of-range"
  | "friction-out-of-range"
  | "bearing-negative"
  | "count-not-whole"
  | "limit-not-a-number";

/** An input no pass can have, with a plain sentence that says what to enter instead. */
export class RouteError extends Error {
  constructor(
    readonly code: RouteErrorCode,
    message: string,
  ) {
    super(message);
    this.name = "RouteError";
  }
}
