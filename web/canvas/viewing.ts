import type { Point } from "../../model/break/geometry.ts";
import {
  fittedView,
  stagePoint,
  toPhoto,
  toPhotoStep,
  toStage,
  zoomedAt,
  type Frame,
  type StagePoint,
} from "./transform.ts";
import type { Picture, StepUnit, View } from "./types.ts";

/** Largest magnification: 40 stage pixels for each photograph pixel. */
const MOST_ZOOM = 40;
/** The picture can be made this much smaller than it fits, and no more. */
const LEAST_ZOOM_OF_FIT = 0.25;
/** Room kept between the keyboard cursor and the edge of the stage, stage pixels. */
const CURSOR_ROOM_PX = 24;

/** Size of the stage in CSS pixels; read at each use. */
export interface StageSize {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Which part of the photograph is shown, and what stage places mean in it. */
export class Viewing {
  #view: View = { centre: [0, 0], zoom: 1 };
  #turnDeg = 0;
  #picture: Picture | null = null;
  /** True until the reader moves the view: a fitted picture stays fitted when the window changes. */
  #isFitted = true;

  constructor(readonly size: StageSize) {}

  get view(): View {
    return this.#view;
  }

  get picture(): Picture | null {
    return this.#picture;
  }

  get turnDeg(): number {
    return this.#turnDeg;
  }

  get frame(): Frame {
    return { ...this.#view, turnDeg: this.#turnDeg, widthPx: this.size.widthPx, heightPx: this.size.heightPx };
  }

  /** @returns true when the new picture has another size, so that places of the old one mean nothing. */
  setPicture(picture: Picture | null): boolean {
    const before = this.#picture;
    this.#picture = picture;
    return picture !== null && (before?.widthPx !== picture.widthPx || before.heightPx !== picture.heightPx);
  }

  setTurn(deg: number): void {
    this.#turnDeg = deg;
  }

  set(view: View): void {
    this.#isFitted = false;
    this.#view = view;
  }

  /** Shows the whole picture. @returns false without a picture. */
  fit(): boolean {
    if (this.#picture === null) return false;
    this.#isFitted = true;
    this.#view = fittedView(this.frame, this.#picture.widthPx, this.#picture.heightPx);
    return true;
  }

  /** Fits again what was fitted. @returns false when the reader has chosen another view. */
  refit(): boolean {
    return this.#isFitted && this.fit();
  }

  /** @param at – stage place that keeps its place in the photograph; the middle when left out. */
  zoomBy(factor: number, at?: StagePoint): void {
    const frame = this.frame;
    const picture = this.#picture;
    const fit = picture === null ? 1 : fittedView(frame, picture.widthPx, picture.heightPx).zoom;
    const least = Math.min(fit * LEAST_ZOOM_OF_FIT, 1);
    this.set(zoomedAt(frame, factor, at ?? stagePoint(frame.widthPx / 2, frame.heightPx / 2), [least, MOST_ZOOM]));
  }

  panBy(dx: number, dy: number): void {
    const [x, y] = toPhotoStep(this.frame, dx, dy);
    this.set({ centre: [this.#view.centre[0] - x, this.#view.centre[1] - y], zoom: this.#view.zoom });
  }

  photoAt(at: StagePoint): Point {
    return toPhoto(this.frame, at);
  }

  stageAt(place: Point): StagePoint {
    return toStage(this.frame, place);
  }

  /** A place to put a point: never outside the picture. */
  placeAt(at: StagePoint): Point {
    return this.inPicture(this.photoAt(at));
  }

  inPicture([x, y]: Point): Point {
    if (this.#picture === null) return [x, y];
    return [Math.min(this.#picture.widthPx, Math.max(0, x)), Math.min(this.#picture.heightPx, Math.max(0, y))];
  }

  /** A step along the screen as a displacement of the photograph. */
  step(dx: number, dy: number, unit: StepUnit): Point {
    return toPhotoStep({ turnDeg: this.#turnDeg, zoom: unit === "photograph" ? 1 : this.#view.zoom }, dx, dy);
  }

  /** How far the picture must be panned so that a place can be seen, stage pixels. */
  panToSee(place: Point): readonly [dx: number, dy: number] {
    const [x, y] = this.stageAt(place);
    const over = (v: number, size: number): number =>
      Math.max(0, CURSOR_ROOM_PX - v) - Math.max(0, v - (size - CURSOR_ROOM_PX));
    return [over(x, this.size.widthPx), over(y, this.size.heightPx)];
  }
}
