import { Konva } from "konva/lib/Core";
import type { Layer } from "konva/lib/Layer";

/** Draws in stage pixels; the device pixel ratio is already applied. */
export type Painter = (ctx: CanvasRenderingContext2D) => void;

export type LayerName = "picture" | "marks" | "live";

/**
 * The Konva stage with its three layers, bottom to top: picture, marks, live. None of them listens: gestures are
 * taken from the container and marks are picked in photograph pixels, so no hit canvas is ever drawn.
 */
export class StageLayers {
  readonly #stage: InstanceType<typeof Konva.Stage>;
  readonly #layers: Readonly<Record<LayerName, Layer>>;
  readonly #host: HTMLDivElement;

  constructor(container: HTMLDivElement, painters: Readonly<Record<LayerName, Painter>>) {
    this.#host = document.createElement("div");
    // Konva's own listeners hang on this element; without pointer events they never run.
    this.#host.style.cssText = "position:absolute;inset:0;pointer-events:none;overflow:hidden";
    this.#host.setAttribute("aria-hidden", "true");
    container.append(this.#host);
    this.#stage = new Konva.Stage({ container: this.#host, width: 1, height: 1, listening: false });
    const layer = (name: LayerName): Layer => {
      const made = new Konva.Layer({ listening: false });
      made.add(
        new Konva.Shape({
          name,
          listening: false,
          perfectDrawEnabled: false,
          sceneFunc: (context) => painters[name](context._context),
        }),
      );
      this.#stage.add(made);
      return made;
    };
    this.#layers = { picture: layer("picture"), marks: layer("marks"), live: layer("live") };
  }

  /** @param pixelRatio – device pixels per stage pixel. */
  resize(widthPx: number, heightPx: number, pixelRatio: number): void {
    for (const layer of Object.values(this.#layers)) {
      if (layer.getCanvas().getPixelRatio() !== pixelRatio) layer.getCanvas().setPixelRatio(pixelRatio);
    }
    this.#stage.size({ width: Math.max(1, widthPx), height: Math.max(1, heightPx) });
    for (const layer of Object.values(this.#layers)) layer.draw();
  }

  /** Draws the layers at the next frame, once however often it is asked. */
  redraw(...names: readonly LayerName[]): void {
    for (const name of names) this.#layers[name].batchDraw();
  }

  /** Draws everything now. */
  drawNow(): void {
    for (const layer of Object.values(this.#layers)) layer.draw();
  }

  destroy(): void {
    this.#stage.destroy();
    this.#host.remove();
  }
}
