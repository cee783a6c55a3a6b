import { Konva } from "konva/lib/Core";
import { expect, onTestFinished, test } from "vitest";
import { EndStage } from "../../web/canvas/end-stage.ts";
import { makeBench, mark, nextFrame, PICTURE, redSquarePicture } from "./stage-fixture.ts";

interface Registered {
  readonly target: EventTarget;
  readonly type: string;
  readonly listener: EventListenerOrEventListenerObject | null;
}

/**
 * Counts the listeners registered from now on that could still be called, however they are removed. Those on elements
 * that left the page are not counted: nothing can reach them, and they go with their element.
 */
function countListeners(): () => number {
  const live = new Set<Registered>();
  const { addEventListener: add, removeEventListener: remove } = Object.getOwnPropertyDescriptors(
    EventTarget.prototype,
  );
  const call = (how: PropertyDescriptor, target: unknown, args: unknown[]): void => {
    Reflect.apply(how.value as (...args: unknown[]) => void, target, args);
  };
  EventTarget.prototype.addEventListener = function (this: EventTarget, type, listener, options) {
    call(add, this, [type, listener, options]);
    // Signals are how listeners are removed; those on them are part of the counting.
    if (this instanceof AbortSignal) return;
    const entry: Registered = { target: this, type, listener };
    live.add(entry);
    const signal = typeof options === "object" ? options.signal : undefined;
    if (signal !== undefined) call(add, signal, ["abort", () => live.delete(entry), { once: true }]);
  };
  EventTarget.prototype.removeEventListener = function (this: EventTarget, type, listener, options) {
    call(remove, this, [type, listener, options]);
    for (const entry of live)
      if (entry.target === this && entry.type === type && entry.listener === listener) live.delete(entry);
  };
  onTestFinished(() => {
    Object.defineProperty(EventTarget.prototype, "addEventListener", add);
    Object.defineProperty(EventTarget.prototype, "removeEventListener", remove);
  });
  return () => [...live].filter(({ target }) => !(target instanceof Node) || target.isConnected).length;
}

test("nothing outlives destroy: no listener, node, attribute, callback or closed bitmap", async () => {
  const container = document.createElement("div");
  container.style.cssText = "width:300px;height:200px";
  document.body.append(container);
  const bitmap = await redSquarePicture();
  // The drawing library listens to the window once for all its stages; that is done with before counting.
  makeBench();
  const stagesBefore = Konva.stages.length;
  const listeners = countListeners();

  let calls = 0;
  const called = () => {
    calls++;
  };
  const stage = new EndStage(
    container,
    {
      onDrawn: called,
      onReshaped: called,
      onSelect: called,
      onView: called,
      onCursor: called,
      onCancel: called,
      onPreview: called,
      onSay: called,
      fitEllipse: () => null,
    },
    { label: "Take-up end, side view" },
  );
  expect(listeners()).toBeGreaterThan(8);
  stage.setPicture({ levels: [bitmap], ...PICTURE });
  stage.setMarks([mark("a", { type: "point", points: [[1200, 800]] })]);
  stage.setSelection("a");
  stage.setTool({ geometry: "line", label: "neck" });
  stage.focus();
  container.dispatchEvent(new WheelEvent("wheel", { deltaY: -50, clientX: 50, clientY: 50, cancelable: true }));
  container.dispatchEvent(new PointerEvent("pointerdown", { pointerId: 1, clientX: 60, clientY: 60 }));
  expect(calls).toBeGreaterThan(0);
  await nextFrame();

  stage.destroy();
  calls = 0;
  container.dispatchEvent(new PointerEvent("pointermove", { pointerId: 1, clientX: 90, clientY: 90 }));
  container.dispatchEvent(new PointerEvent("pointerup", { pointerId: 1, clientX: 90, clientY: 90 }));
  container.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter" }));
  container.dispatchEvent(new WheelEvent("wheel", { deltaY: -50, cancelable: true }));
  container.style.width = "280px";
  await nextFrame();
  container.style.width = "300px";
  expect(calls).toBe(0);
  expect(listeners()).toBe(0);
  expect(Konva.stages).toHaveLength(stagesBefore);
  expect(container.childElementCount).toBe(0);
  expect([...container.attributes].map((a) => a.name)).toEqual(["style"]);
  expect(container.style.touchAction).toBe("");
  // The bitmap is the caller's: still open, and closed only here.
  expect(bitmap.width).toBe(PICTURE.widthPx);
  bitmap.close();
  container.remove();
});

test("the container is named, described and reachable by Tab; a new name is taken over", () => {
  const container = document.createElement("div");
  document.body.append(container);
  const none = () => undefined;
  const stage = new EndStage(
    container,
    { onDrawn: none, onReshaped: none, onSelect: none, fitEllipse: () => null },
    { label: "Machine end" },
  );
  expect(container.getAttribute("role")).toBe("application");
  expect(container.getAttribute("aria-label")).toBe("Machine end");
  expect(container.tabIndex).toBe(0);
  expect(container.style.touchAction).toBe("none");
  const description = document.getElementById(container.getAttribute("aria-describedby") ?? "");
  expect(description?.textContent).toContain("Backspace takes the last point back");
  stage.setLabel("Machine end, side view");
  expect(container.getAttribute("aria-label")).toBe("Machine end, side view");
  stage.destroy();
  container.remove();
});
