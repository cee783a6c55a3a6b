export type SetPicturesRequests = {
  /** Makes one photograph ready for comparison. */
  readonly ready: {
    readonly input: { readonly thumbnail: Blob };
    /** Looks as `packedLooks` gives them, and 128 × 128 grey values. */
    readonly output: { readonly looks: Uint32Array<ArrayBuffer>; readonly thumbnail: Uint8Array<ArrayBuffer> };
  };
  /** Pairs of photographs whose looks are alike: triples of a, b and the ways as bits. */
  readonly pairs: {
    readonly input: {
      readonly looks: Uint32Array<ArrayBuffer>;
      readonly breakOf: Int32Array<ArrayBuffer>;
      readonly fileOf: Int32Array<ArrayBuffer>;
    };
    readonly output: Int32Array<ArrayBuffer>;
  };
  /** How far the details of pairs agree. */
  readonly agree: {
    readonly input: {
      readonly pairs: readonly {
        readonly a: Uint8Array<ArrayBuffer>;
        readonly b: Uint8Array<ArrayBuffer>;
        readonly ways: readonly number[];
      }[];
    };
    readonly output: readonly number[];
  };
};
