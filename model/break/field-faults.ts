import type * as z from "zod";
import type { FieldFault } from "./record-error.ts";

type Issue = z.core.$ZodIssue;

/** More faults than this help nobody. */
const MAX_FAULTS = 20;

/** Path of a field as it would be written: `[3].ends[0].features[2].feature`. */
export function fieldPath(path: readonly PropertyKey[]): string {
  let text = "";
  for (const step of path) {
    if (typeof step === "number") text += `[${step}]`;
    else text += text === "" ? String(step) : `.${String(step)}`;
  }
  return text;
}

/** What a schema found wrong, one plain sentence per field. */
export function faultsOf(error: z.ZodError): readonly [FieldFault, ...FieldFault[]] {
  const [first, ...more] = error.issues.flatMap((issue) => faultsOfIssue(issue, []));
  return [first ?? fault([], "It cannot be read."), ...more.slice(0, MAX_FAULTS - 1)];
}

const fault = (
  path: readonly PropertyKey[],
  sentence: string,
  code: FieldFault["code"] = "wrong-field",
): FieldFault => ({
  code,
  field: fieldPath(path),
  sentence,
});

function faultsOfIssue(issue: Issue, above: readonly PropertyKey[]): FieldFault[] {
  const path = [...above, ...issue.path];
  switch (issue.code) {
    case "unrecognized_keys":
      return issue.keys.map((key) => fault([...path, key], "This field is not known here.", "unknown-field"));
    case "invalid_type":
      return [
        fault(path, issue.input === undefined ? `It is missing; ${expected(issue)}.` : `${capital(expected(issue))}.`),
      ];
    case "invalid_value":
      return [fault(path, `It must be ${oneOf(issue.values)}.`)];
    case "too_big":
    case "too_small":
      return [fault(path, bound(issue))];
    case "invalid_format":
      return [fault(path, issue.message)];
    case "invalid_key":
      return [fault(path, "This name cannot be used.", "unknown-field")];
    case "invalid_union": {
      if ("options" in issue && issue.errors.length === 0)
        return [fault(path, `It must be ${oneOf((issue.options as readonly unknown[] | undefined) ?? [])}.`)];
      // The branch that got furthest names the field the person most likely meant.
      const branches = issue.errors.map((branch) => branch.flatMap((inner) => faultsOfIssue(inner, path)));
      const depth = (faults: readonly FieldFault[]) => Math.max(0, ...faults.map((f) => f.field.length));
      const deepest = [...branches].sort((a, b) => depth(b) - depth(a))[0] ?? [];
      const inside = deepest.filter((f) => f.field !== fieldPath(path));
      return inside.length > 0
        ? inside
        : [fault(path, issue.message === "Invalid input" ? kinds(issue) : issue.message)];
    }
    case "custom": {
      const code = issue.params?.["code"] === "contradiction" ? "contradiction" : "wrong-field";
      return [fault(path, issue.message, code)];
    }
    default:
      return [fault(path, issue.message)];
  }
}

const KIND: Readonly<Record<string, string>> = {
  string: "a text",
  number: "a number",
  int: "a whole number",
  boolean: "true or false",
  array: "a list",
  object: "an object",
  record: "an object",
  null: "empty (null)",
};

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
const expected = (issue: { readonly expected: string }): string =>
  `it must be ${KIND[issue.expected] ?? issue.expected}`;

function kinds(issue: z.core.$ZodIssueInvalidUnion): string {
  const names = issue.errors
    .flat()
    .flatMap((inner) => ("expected" in inner ? [KIND[inner.expected] ?? inner.expected] : []));
  return names.length === 0 ? "It cannot be read." : `It must be ${[...new Set(names)].join(" or ")}.`;
}

function oneOf(values: readonly unknown[]): string {
  const names = values.map((v) => (typeof v === "string" ? `"${v}"` : String(v)));
  return names.length === 1 ? (names[0] ?? "") : `one of ${names.join(", ")}`;
}

function bound(issue: z.core.$ZodIssueTooBig | z.core.$ZodIssueTooSmall): string {
  const big = issue.code === "too_big";
  const limit = String(big ? issue.maximum : issue.minimum);
  const than = issue.inclusive === false ? (big ? "less than" : "more than") : big ? "at most" : "at least";
  if (issue.origin === "string")
    return limit === "1" && !big ? "It must not be empty." : `It must have ${than} ${limit} characters.`;
  if (issue.origin === "array") return `It must have ${than} ${limit} entries.`;
  return `It must be ${than} ${limit}.`;
}
