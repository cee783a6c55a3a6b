import type { App } from "../shell/app.svelte.ts";
import { cameraError, cameraErrorOf, type CameraError } from "./camera-error.ts";
import { controlsOf, setControl, type CameraControl } from "./controls.ts";
import {
  listCameras,
  openCamera,
  stopCamera,
  type Camera,
  type CameraChoice,
  type OpenedCamera,
  type PictureSize,
} from "./devices.ts";

const SETTING = "camera";

/** What a person chose last, kept in the bench's settings. */
export interface CameraMemory extends CameraChoice {
  readonly profileId: string | null;
  readonly graticule: boolean;
  readonly hatch: boolean;
}
const NOTHING_CHOSEN: CameraMemory = { cameraId: null, size: null, profileId: null, graticule: true, hatch: true };

/** The camera that is open: its picture, what it offers, and what is wrong with it. Stopped when the screen is left. */
export class CameraFeed {
  opened = $state.raw<OpenedCamera | null>(null);
  /** The camera opened last, so that the choices stay on the screen while another is opening. */
  last = $state.raw<OpenedCamera | null>(null);
  cameras = $state.raw<readonly Camera[]>([]);
  controls = $state.raw<readonly CameraControl[]>([]);
  opening = $state(false);
  problem = $state.raw<CameraError | null>(null);
  /** Said once about how the camera was opened; empty when all is as chosen. */
  note = $state("");
  memory = $state.raw<CameraMemory>(NOTHING_CHOSEN);
  readonly #app: App;
  /** Counts the openings, so that a slow one that was overtaken is stopped instead of shown. */
  #turn = 0;

  constructor(app: App) {
    this.#app = app;
  }

  async begin(): Promise<void> {
    const kept = await this.#app.bench.getSetting<CameraMemory>(SETTING);
    if (kept !== undefined) this.memory = { ...NOTHING_CHOSEN, ...kept };
    await this.open();
  }

  /** Opens the chosen camera anew; what goes wrong stands in `problem`. */
  async open(): Promise<void> {
    const turn = ++this.#turn;
    this.#stop();
    this.opening = true;
    this.problem = null;
    this.note = "";
    try {
      const opened = await openCamera(this.memory);
      if (turn !== this.#turn) {
        stopCamera(opened.stream);
        return;
      }
      opened.track.addEventListener("ended", () => {
        if (this.opened !== opened) return;
        this.#stop();
        this.problem = cameraError("unplugged");
      });
      this.opened = opened;
      this.last = opened;
      this.controls = controlsOf(opened.track);
      this.note = fellBackWords(opened);
      this.cameras = await listCameras();
    } catch (error) {
      if (turn === this.#turn) this.problem = cameraErrorOf(error);
    } finally {
      if (turn === this.#turn) this.opening = false;
    }
  }

  /** A camera was plugged in or out: the list is read anew, and a lost camera is tried again. */
  async changed(): Promise<void> {
    if (this.problem !== null && this.problem.code !== "refused") await this.open();
    else if (this.opened !== null) this.cameras = await listCameras();
  }

  async chooseCamera(cameraId: string): Promise<void> {
    await this.remember({ cameraId, size: null });
    await this.open();
  }

  async chooseSize(size: PictureSize): Promise<void> {
    await this.remember({ size, cameraId: this.opened?.cameraId ?? this.memory.cameraId });
    await this.open();
  }

  async remember(patch: Partial<CameraMemory>): Promise<void> {
    this.memory = { ...this.memory, ...patch };
    if (this.#app.mode === "writer") await this.#app.bench.setSetting(SETTING, this.memory);
  }

  async set(name: string, value: number | string): Promise<void> {
    const { opened } = this;
    if (opened === null) return;
    try {
      await setControl(opened.track, name, value);
    } catch {
      this.note = "The camera did not take this setting; it stays as it was.";
    }
    this.controls = controlsOf(opened.track);
  }

  close(): void {
    this.#turn += 1;
    this.#stop();
  }

  #stop(): void {
    const { opened } = this;
    this.opened = null;
    this.controls = [];
    stopCamera(opened?.stream ?? null);
  }
}

function fellBackWords({ fellBack, size, name }: OpenedCamera): string {
  const now = `${size.widthPx} × ${size.heightPx} px`;
  if (fellBack === "resolution-refused") return `The camera does not offer the resolution chosen; it runs at ${now}.`;
  return fellBack === "no-camera" ? `The camera chosen last is not there. In use: ${name}, ${now}.` : "";
}
