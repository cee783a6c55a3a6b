import { getContext, setContext } from "svelte";

/** Numbers of the sources of one page, in the order of its list. */
export class Cited {
  constructor(readonly keys: readonly string[]) {}

  /** Number of a source from 1 on; 0 for one the page does not list. */
  numberOf(key: string): number {
    return this.keys.indexOf(key) + 1;
  }
}

const KEY = Symbol("cited");
export const provideCited = (cited: Cited): Cited => setContext(KEY, cited);
export const useCited = (): Cited => getContext<Cited>(KEY);
