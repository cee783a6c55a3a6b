import type { Photograph } from "../../model/break/wire-break.ts";
import type { ShownPhotographs } from "./shown-photographs.ts";

/** The address of the photograph that a frame shows, made anew when another one is to be shown; for the start of a component. */
export class ShownUrl {
  /** Null while it is being read, and when it is gone. */
  url = $state<string | null>(null);
  /** The original is not on this disk. */
  gone = $state(false);

  /** @param fail hears PictureError and StoreError, unless another photograph is shown by then. */
  constructor(
    photographs: () => ShownPhotographs,
    photograph: () => Photograph | null,
    fail: (error: unknown) => void,
  ) {
    $effect(() => {
      this.url = null;
      this.gone = false;
      const shown = photograph();
      if (shown === null) return;
      let left = false;
      photographs()
        .url(shown)
        .then((made) => {
          if (left) return;
          this.url = made;
          this.gone = made === null;
        })
        .catch((error: unknown) => {
          if (!left) fail(error);
        });
      return () => void (left = true);
    });
  }
}
