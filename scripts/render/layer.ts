/** A picture being made: linear light, premultiplied by coverage. */
export interface Layer {
  readonly width: number;
  readonly height: number;
  /** 4 per pixel: red, green, blue (premultiplied), coverage. */
  readonly rgba: Float32Array;
  /** Radius of the blur of each pixel, px. */
  readonly blur: Float32Array;
}

export const newLayer = (width: number, height: number): Layer => ({
  width,
  height,
  rgba: new Float32Array(4 * width * height),
  blur: new Float32Array(width * height),
});
