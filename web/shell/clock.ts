/** Local time with its offset, ISO 8601, to the second: what a lab record needs. */
export function isoNow(date = new Date()): string {
  const two = (n: number) => String(Math.trunc(Math.abs(n))).padStart(2, "0");
  const offset = -date.getTimezoneOffset();
  const sign = offset < 0 ? "-" : "+";
  return (
    `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}` +
    `T${two(date.getHours())}:${two(date.getMinutes())}:${two(date.getSeconds())}` +
    `${sign}${two(offset / 60)}:${two(offset % 60)}`
  );
}

/** "25 Nov 2026, 14:05" as recorded; the offset stays in the record. */
export function readableTime(iso: string | null): string {
  if (iso === null) return "";
  const match = /^(\d{4})-(\d\d)-(\d\d)(?:T(\d\d):(\d\d))?/.exec(iso);
  if (!match) return iso;
  const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
  const [, year, month, day, hour, minute] = match;
  const date = `${Number(day)} ${months[Number(month) - 1] ?? month} ${year}`;
  return hour === undefined ? date : `${date}, ${hour}:${minute}`;
}
