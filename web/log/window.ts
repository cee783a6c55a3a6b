/** Height of one row of the log, px: two lines of text beside the small pictures. */
export const ROW_PX = 64;
/** Height of the head of the list, px. */
export const HEAD_PX = 32;
const OVERSCAN = 6;

/** The rows to draw for a scroll position, first included, last excluded. */
export function windowOf(scrollTop: number, heightPx: number, count: number): { first: number; last: number } {
  const first = Math.max(0, Math.floor(scrollTop / ROW_PX) - OVERSCAN);
  const last = Math.min(count, Math.ceil((scrollTop + heightPx) / ROW_PX) + OVERSCAN);
  return { first: Math.min(first, last), last };
}

/** The scroll position that brings a row into view with the least movement. */
export function scrollTo(index: number, scrollTop: number, heightPx: number): number {
  const top = index * ROW_PX;
  if (top < scrollTop) return top;
  if (top + ROW_PX > scrollTop + heightPx) return top + ROW_PX - heightPx;
  return scrollTop;
}
