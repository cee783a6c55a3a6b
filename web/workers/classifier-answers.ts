import { ClassifierError, type PlainClassifierError } from "../../model/classifier/classifier-error.ts";
import { PictureError } from "../../model/picture/picture-error.ts";

/** Errors lose their class on the way between threads: a refusal crosses as a value. */
export type Answered<T> = { readonly output: T } | { readonly refused: PlainClassifierError };

/** On the worker's side: the result or the refusal as a value. What nobody foresaw is thrown on. */
export async function answered<T>(work: () => T | Promise<T>): Promise<Answered<T>> {
  try {
    return { output: await work() };
  } catch (error) {
    if (!(error instanceof ClassifierError)) throw error;
    return { refused: error.plain() };
  }
}

/** On the page's side. @throws ClassifierError the refusal */
export function unwrapped<T>(answer: Answered<T>): T {
  if ("output" in answer) return answer.output;
  throw ClassifierError.from(answer.refused);
}

/**
 * The pool speaks of threads in terms of photographs; here the thread held a model.
 *
 * @param next – what to do when a thread failed.
 */
export function asClassifierError(error: unknown, next: string): ClassifierError {
  if (error instanceof ClassifierError) return error;
  if (error instanceof PictureError)
    return error.code === "cancelled"
      ? new ClassifierError("cancelled", error.message, "Start it again when you want it.")
      : new ClassifierError("thread-failed", error.message, next);
  return new ClassifierError("thread-failed", String(error), next);
}
