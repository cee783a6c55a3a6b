import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { page, userEvent } from "vitest/browser";
import { cameraErrorOf } from "../../web/camera/camera-error.ts";
import { sizesOf } from "../../web/camera/devices.ts";
import { frameName } from "../../web/camera/file-frame.ts";
import { graticuleOf } from "../../web/camera/graticule.ts";
import { firstOpen, nextOpen, STEPS } from "../../web/camera/sequence.ts";
import type { ScaleProfile } from "../../model/measure/profile.ts";
import { StoreError, type BenchStore } from "../../web/storage/contract.ts";
import { openApp, showApp } from "./log-app.ts";
import { aBreak, AT, storeBreaks } from "./log-breaks.ts";

/** A camera whose picture is a canvas: real frames through the browser's own tracks. */
function canvasCamera(): { readonly stream: () => MediaStream; readonly stop: () => void } {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [320, 240];
  const context = canvas.getContext("2d");
  let turn = 0;
  const paint = () => {
    if (context === null) return;
    turn += 1;
    context.fillStyle = "#555";
    context.fillRect(0, 0, 320, 240);
    context.fillStyle = "#fff";
    context.fillRect(0, 0, 80, 60);
    context.fillStyle = "#111";
    for (let x = turn % 9; x < 320; x += 16) context.fillRect(x, 100, 6, 80);
  };
  paint();
  const timer = setInterval(paint, 40);
  return { stream: () => canvas.captureStream(25), stop: () => clearInterval(timer) };
}

let camera = canvasCamera();
const streams: MediaStream[] = [];
let open: () => Promise<MediaStream>;

beforeEach(() => {
  camera = canvasCamera();
  open = () => {
    const stream = camera.stream();
    streams.push(stream);
    return Promise.resolve(stream);
  };
  vi.spyOn(navigator.mediaDevices, "getUserMedia").mockImplementation(() => open());
});
afterEach(() => {
  vi.restoreAllMocks();
  camera.stop();
  for (const stream of streams.splice(0)) stream.getTracks().forEach((track) => track.stop());
});

const profile: ScaleProfile = {
  id: "p1",
  name: "2× · camera A",
  pxPerMm: { value: 100, u: 0.2 },
  readings: [],
  micrometer: { number: "SM-1", relativeU: 0.0005 },
  picturePx: [320, 240],
  by: "A. Reader",
  calibratedAt: "2025-01-10",
  dueAt: "2025-12-31",
};

async function showCamera(prepare: (store: BenchStore) => Promise<void> = () => Promise.resolve()) {
  const { app, store } = await openApp();
  await prepare(store);
  const filed = aBreak("B-7");
  await storeBreaks(store, [filed]);
  const { id } = filed.record;
  app.place = { screen: "camera", breakId: id, side: null };
  await showApp(app, store);
  return { app, store, id };
}
const large = (words: string) =>
  expect.element(page.getByLabelText("Camera picture").getByText(words, { exact: true })).toBeVisible();
const prompt = () => large("Machine end, end-on");
const press = (key: string) => userEvent.keyboard(key);
const alert = () => page.getByRole("alert");

describe("the camera screen", () => {
  test("a kept frame is filed with the scale of its profile, the time of freezing and the pixels that were shown", async () => {
    const { store, id } = await showCamera(async (s) => {
      await s.setSetting("profiles", [profile]);
      await s.setSetting("camera", { cameraId: null, size: null, profileId: "p1", graticule: true, hatch: true });
    });
    await prompt();
    await expect.element(page.getByText(/Overdue since 31 Dec 2025/)).toBeVisible();
    await expect.element(page.getByRole("img", { name: /^Focus \d/ })).toBeVisible();
    // The white corner is a sixteenth of the picture.
    await expect.element(page.getByText("6.3 %")).toBeVisible();
    await press(" ");
    await expect.element(page.getByText("Frozen: Machine end, end-on")).toBeVisible();
    await press("{Enter}");
    await large("Machine end, side, 0°");
    const filed = (await store.load(id))?.record.ends.machine;
    expect(filed?.recovery).toBe("recovered");
    expect(filed?.photographs[0]).toMatchObject({
      view: "end_on",
      widthPx: 320,
      heightPx: 240,
      mediaType: "image/png",
      capturedAt: AT,
      fileName: "B-7_machine-end_end-on_20260302-080000.png",
      scale: { method: "profile", pxPerMm: { value: 100, u: 0.2 }, calibration: { dueAt: "2025-12-31" } },
    });
    const original = await store.original(filed?.photographs[0]?.hash ?? "");
    const bitmap = await createImageBitmap(original ?? new Blob());
    expect([bitmap.width, bitmap.height]).toEqual([320, 240]);
    bitmap.close();
  });

  test("a profile of another picture size gives no scale and says why", async () => {
    await showCamera(async (s) => {
      await s.setSetting("profiles", [{ ...profile, picturePx: [640, 480] }]);
      await s.setSetting("camera", { cameraId: null, size: null, profileId: "p1", graticule: true, hatch: true });
    });
    await expect.element(page.getByText(/holds for photographs of 640 × 480 px; this one has 320 × 240/)).toBeVisible();
  });

  test("a full disk keeps the frame frozen, says what to do, and keeping again works", async () => {
    const { store, id } = await showCamera();
    await prompt();
    await press(" ");
    await expect.element(page.getByText("Frozen: Machine end, end-on")).toBeVisible();
    const full = vi
      .spyOn(store, "commit")
      .mockRejectedValue(new StoreError("disk-full", "The disk is full.", "Free some space."));
    await press("{Enter}");
    await expect
      .element(alert())
      .toHaveTextContent("The disk is full. Free some space. The frozen frame is still here.");
    expect((await store.load(id))?.record.ends.machine.photographs).toEqual([]);
    full.mockRestore();
    await press("{Enter}");
    await large("Machine end, side, 0°");
    expect((await store.load(id))?.record.ends.machine.photographs).toHaveLength(1);
  });

  test("a camera unplugged while a frame is frozen takes nothing away", async () => {
    const { store, id } = await showCamera();
    await prompt();
    await press(" ");
    await expect.element(page.getByText("Frozen: Machine end, end-on")).toBeVisible();
    streams[0]?.getVideoTracks()[0]?.dispatchEvent(new Event("ended"));
    await expect.element(alert()).toHaveTextContent("The camera is gone: it was unplugged or switched off.");
    await press("{Enter}");
    await expect.poll(async () => (await store.load(id))?.record.ends.machine.photographs.length).toBe(1);
    await page.getByRole("button", { name: "Try again" }).click();
    await large("Machine end, side, 0°");
    expect(streams).toHaveLength(2);
  });

  test("skipping, going back, and an end that was not recovered", async () => {
    const { store, id } = await showCamera();
    await prompt();
    await press("{ArrowRight}{ArrowRight}");
    await large("Take-up end, end-on");
    await press("n");
    await prompt();
    expect((await store.load(id))?.record.ends.takeUp.recovery).toBe("not-recovered");
    await press("2n");
    await expect.poll(async () => (await store.load(id))?.record.ends.takeUp.recovery).toBe("awaited");
  });

  test("every track is stopped when the screen is left", async () => {
    const { app } = await showCamera();
    await prompt();
    await expect.poll(() => streams.length).toBe(1);
    app.go({ screen: "log" });
    await expect.poll(() => streams[0]?.getTracks().map((t) => t.readyState)).toEqual(["ended"]);
  });

  test.each([
    ["NotAllowedError", /told not to give Endpair the camera.*Allow the camera/],
    ["NotFoundError", /No camera was found.*Plug the microscope camera in/],
    ["NotReadableError", /another program may be using it.*Close the other program/],
  ])("%s is said in words with the next step", async (name, words) => {
    open = () => Promise.reject(new DOMException("", name));
    await showCamera();
    await expect.element(alert()).toHaveTextContent(words);
  });

  test("a resolution that is refused falls back to one the camera has, and says so", async () => {
    let asked = 0;
    const good = open;
    open = () => (++asked === 1 ? Promise.reject(new DOMException("", "OverconstrainedError")) : good());
    await showCamera((s) => s.setSetting("camera", { cameraId: null, size: { widthPx: 5000, heightPx: 4000 }, profileId: null })); // prettier-ignore
    await expect.element(page.getByText(/does not offer the resolution chosen; it runs at 320 × 240 px/)).toBeVisible();
  });
});

describe("the parts of the camera screen", () => {
  test("the sequence asks for each end end-on and from the side, and comes back to what was passed", () => {
    expect(STEPS.map((s) => `${s.side} ${s.view}`)).toEqual(["machine end_on", "machine side_0", "takeUp end_on", "takeUp side_0"]); // prettier-ignore
    expect(firstOpen(null)).toBe(0);
    expect(firstOpen(null, "takeUp")).toBe(2);
    const { ends } = aBreak("B-1").record;
    const gone = { ...ends, machine: { ...ends.machine, photographs: [], recovery: "not-recovered" as const } };
    expect(firstOpen(gone)).toBe(2);
    expect(nextOpen(gone, 3)).toBe(2);
    expect(nextOpen({ machine: gone.machine, takeUp: gone.machine }, 1)).toBeNull();
  });

  test("the graticule ticks millimetres, each direction by its own scale, and pixels without one", () => {
    const mm = graticuleOf({ widthPx: 1200, heightPx: 1000 }, { x: 100, y: 110 });
    expect(mm.unit).toBe("mm");
    const whole = mm.x.filter((t) => t.rank === "whole");
    expect(whole.map((t) => [t.at, t.label])).toEqual([[-500, "5"], [-400, "4"], [-300, "3"], [-200, "2"], [-100, "1"], [100, "1"], [200, "2"], [300, "3"], [400, "4"], [500, "5"], [600, "6"], [-600, "6"]].sort((a, b) => Number(a[0]) - Number(b[0]))); // prettier-ignore
    expect(mm.y.find((t) => t.label === "1" && t.at > 0)?.at).toBeCloseTo(110, 9);
    expect(graticuleOf({ widthPx: 1200, heightPx: 1000 }, null).unit).toBe("px");
  });

  test("names of frames hold nothing a file system minds", () => {
    expect(frameName("B/12: ü", { side: "takeUp", view: "side_90" }, "2026-11-25T14:05:09+01:00")).toBe(
      "B-12-ü_take-up-end_side-90_20261125-140509.png",
    );
  });

  test("sizes go up to the largest the camera states, the one in use among them", () => {
    const track = { getCapabilities: () => ({ width: { max: 1300 }, height: { max: 1000 } }) };
    expect(sizesOf(track, { widthPx: 800, heightPx: 601 }).map((s) => `${s.widthPx}x${s.heightPx}`)).toEqual(["1300x1000", "1280x960", "1280x720", "1024x768", "800x601", "640x480"]); // prettier-ignore
  });

  test("what is unknown counts as a busy camera, never as silence", () => {
    expect(cameraErrorOf(new DOMException("", "AbortError")).code).toBe("busy");
    expect(cameraErrorOf("odd").code).toBe("busy");
    expect(cameraErrorOf(new DOMException("", "SecurityError")).code).toBe("refused");
  });
});
