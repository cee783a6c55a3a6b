export interface JsonFault {
  /** From 1. */
  readonly line: number;
  readonly column: number;
  readonly sentence: string;
}

type Expected = "value" | "value-or-close" | "key" | "key-or-close" | "colon" | "comma-or-close" | "nothing";

const SENTENCE: Readonly<Record<Expected, string>> = {
  value: "a value was expected",
  "value-or-close": "a value or ] was expected",
  key: 'a name in "double quotes" was expected',
  "key-or-close": 'a name in "double quotes" or } was expected',
  colon: "a colon was expected",
  "comma-or-close": "a comma or a closing bracket was expected",
  nothing: "the text goes on after its end",
};

const BLANK = /[ \t\n\r]*/y;
const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y;
const WORD = /(?:true|false|null)/y;
const ESCAPE = /\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4})/y;

/**
 * Where a text stops being JSON, in words a person can act on: what the runtime says differs between engines and
 * often names no place.
 *
 * @returns null when the text is JSON.
 */
export function jsonFault(text: string): JsonFault | null {
  const open: ("{" | "[")[] = [];
  let expected: Expected = "value";
  let at = 0;
  const end = (pattern: RegExp): number => {
    pattern.lastIndex = at;
    return pattern.test(text) ? pattern.lastIndex : -1;
  };
  const afterValue = (): Expected => (open.length === 0 ? "nothing" : "comma-or-close");
  for (;;) {
    at = end(BLANK);
    const c = text[at];
    if (c === undefined)
      return expected === "nothing" ? null : place(text, at, `the text ends, but ${SENTENCE[expected]}`);
    const inner = open.at(-1);
    const closes = (c === "}" && inner === "{") || (c === "]" && inner === "[");
    if (closes && (expected === "comma-or-close" || expected === "value-or-close" || expected === "key-or-close")) {
      open.pop();
      at += 1;
      expected = afterValue();
    } else if (expected === "colon" && c === ":") {
      at += 1;
      expected = "value";
    } else if (expected === "comma-or-close" && c === ",") {
      at += 1;
      expected = inner === "{" ? "key" : "value";
    } else if (
      expected === "key" ||
      expected === "key-or-close" ||
      expected === "value" ||
      expected === "value-or-close"
    ) {
      const isKey: boolean = expected === "key" || expected === "key-or-close";
      if (c === '"') {
        const closed = stringEnd(text, at);
        if (closed.fault !== null) return place(text, closed.at, closed.fault);
        at = closed.at;
        expected = isKey ? "colon" : afterValue();
      } else if (!isKey && (c === "{" || c === "[")) {
        open.push(c);
        at += 1;
        expected = c === "{" ? "key-or-close" : "value-or-close";
      } else {
        const past = isKey ? -1 : Math.max(end(NUMBER), end(WORD));
        if (past < 0) return place(text, at, SENTENCE[expected]);
        at = past;
        expected = afterValue();
      }
    } else return place(text, at, SENTENCE[expected]);
  }
}

function stringEnd(text: string, start: number): { readonly at: number; readonly fault: string | null } {
  for (let at = start + 1; ; at += 1) {
    const c = text[at];
    if (c === undefined) return { at: start, fault: "this text has no closing quote" };
    if (c === '"') return { at: at + 1, fault: null };
    if (c < " ") return { at, fault: "a line break or tab stands inside a text" };
    if (c === "\\") {
      ESCAPE.lastIndex = at;
      if (!ESCAPE.test(text)) return { at, fault: "this backslash means nothing here" };
      at = ESCAPE.lastIndex - 1;
    }
  }
}

function place(text: string, at: number, sentence: string): JsonFault {
  const before = text.slice(0, at);
  return { line: before.split("\n").length, column: at - before.lastIndexOf("\n"), sentence };
}
