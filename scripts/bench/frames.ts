/** Milliseconds between 120 frames. A text, because the loader's helpers do not exist inside the page. */
export const FRAME_GAPS = `new Promise((resolve) => {
  const stamps = [];
  requestAnimationFrame(function step(t) {
    stamps.push(t);
    if (stamps.length < 120) requestAnimationFrame(step);
    else resolve(stamps.slice(1).map((s, i) => s - stamps[i]));
  });
})`;

export const framesPerSecond = (gaps: readonly number[]): number =>
  1000 / (gaps.reduce((a, b) => a + b, 0) / gaps.length);
