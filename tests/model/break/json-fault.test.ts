import { describe, expect, test } from "vitest";
import { jsonFault } from "../../../model/break/json-fault.ts";
import fc from "../../properties.ts";

const isJson = (text: string): boolean => {
  try {
    JSON.parse(text);
    return true;
  } catch {
    return false;
  }
};

describe("where a text stops being JSON", () => {
  const cases: readonly (readonly [string, number, number, RegExp])[] = [
    ['{"a": 1,\n "b": nope}', 2, 7, /a value was expected/],
    ['{"a": 1,}', 1, 9, /a name in "double quotes" was expected/],
    ["{a: 1}", 1, 2, /double quotes" or }/],
    ["[1 2]", 1, 4, /a comma or a closing bracket/],
    ["[1, 2", 1, 6, /the text ends, but a comma/],
    ['{"a" 1}', 1, 6, /a colon/],
    ["[1]\n[2]", 2, 1, /goes on after its end/],
    ['{"a": "open', 1, 7, /no closing quote/],
    ['["a\tb"]', 1, 4, /line break or tab/],
    ['["\\x"]', 1, 3, /backslash/],
    ["[1}", 1, 3, /closing bracket/],
    ["[,]", 1, 2, /a value or \]/],
    ["[01]", 1, 3, /comma/],
    ["", 1, 1, /the text ends, but a value/],
    ["<script>", 1, 1, /a value/],
  ];
  test.each(cases)("%j", (text, line, column, sentence) => {
    expect(isJson(text)).toBe(false);
    const fault = jsonFault(text);
    expect([fault?.line, fault?.column]).toEqual([line, column]);
    expect(fault?.sentence).toMatch(sentence);
  });

  test("JSON has no fault, whatever it holds", () => {
    fc.assert(
      fc.property(fc.json(), fc.nat({ max: 3 }), (text, indent) => {
        expect(jsonFault(JSON.stringify(JSON.parse(text), null, indent))).toBeNull();
      }),
    );
  });

  test("it agrees with the runtime on every damaged text", () => {
    fc.assert(
      fc.property(
        fc.json(),
        fc.nat(),
        fc.constantFrom("", ",", "}", "]", '"', "\\", "x", "0", ":", "\n"),
        (text, where, put) => {
          const at = where % (text.length + 1);
          const damaged = text.slice(0, at) + put + text.slice(at + 1);
          expect(jsonFault(damaged) === null).toBe(isJson(damaged));
        },
      ),
      { numRuns: 1000 },
    );
  });

  test("a hundred thousand open brackets are only a fault at the end", () => {
    expect(jsonFault("[".repeat(100_000))?.column).toBe(100_001);
  });
});
