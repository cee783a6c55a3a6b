/** A key and what it does, shown where the action is and on the list of keys. */
export interface KeyAction {
  /** As `KeyboardEvent.key`, with modifiers in front: "Ctrl+z", "Shift+V", "m". */
  readonly keys: readonly string[];
  readonly does: string;
  readonly group: string;
  /** Returns false when the action does not apply now, so that the browser keeps the key. */
  readonly run: () => boolean | void;
  /** True: also while a person is typing (only for keys that type nothing). */
  readonly whileTyping?: boolean;
}

/** The name of a pressed key in the notation of `KeyAction.keys`; letters are lower case, Shift is named. */
export function keyName(event: KeyboardEvent): string {
  const key = event.key === " " ? "Space" : event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const letterOrNamed = /^[a-z]$/.test(key) || key.length > 1;
  return [
    event.ctrlKey || event.metaKey ? "Ctrl+" : "",
    event.altKey ? "Alt+" : "",
    event.shiftKey && letterOrNamed ? "Shift+" : "",
    key,
  ].join("");
}

/** True while a person is typing, so that single letters stay letters. */
export function isTyping(target: EventTarget | null): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (target.isContentEditable) return true;
  if (target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement) return true;
  return target instanceof HTMLInputElement && !["checkbox", "radio", "button", "file", "range"].includes(target.type);
}

/** Runs the first matching action; the last registered list wins, so an open panel shadows the screen. */
export class KeyBoardRoom {
  readonly #lists: (() => readonly KeyAction[])[] = [];

  register(list: () => readonly KeyAction[]): () => void {
    this.#lists.push(list);
    return () => {
      const at = this.#lists.indexOf(list);
      if (at >= 0) this.#lists.splice(at, 1);
    };
  }

  actions(): readonly KeyAction[] {
    return this.#lists.flatMap((list) => list());
  }

  handle(event: KeyboardEvent): void {
    if (event.defaultPrevented || event.isComposing) return;
    const name = keyName(event);
    const typing = isTyping(event.target);
    if (document.querySelector("dialog[open]") !== null && name !== "Escape") return;
    for (const list of [...this.#lists].reverse()) {
      for (const action of list()) {
        if (!action.keys.includes(name) || (typing && action.whileTyping !== true)) continue;
        if (action.run() === false) continue;
        event.preventDefault();
        return;
      }
    }
    // Escape leaves a field, so that single keys work again; what was typed is kept.
    if (typing && name === "Escape" && event.target instanceof HTMLElement && event.target.closest("dialog") === null)
      event.target.blur();
  }
}
