/** What of a name tells people apart: letters and signs, without case and spaces. Empty = nobody is named. */
export const readerKey = (name: string): string => name.normalize("NFKC").toLowerCase().replace(/\s+/gu, "");

/** Whether two names stand for one person. Nobody is the same as no name. */
export function samePerson(a: string, b: string): boolean {
  const key = readerKey(a);
  return key !== "" && key === readerKey(b);
}
