/** A moment in a record's own time zone, to the minute, with the zone's distance from UTC: `2026-11-25 16:04 UTC+01:00`. */
export function timeInZone(time: string, zone: string): string {
  const date = new Date(time);
  const parts = (timeZone: string): Intl.DateTimeFormatPart[] =>
    new Intl.DateTimeFormat("en-CA", {
      timeZone,
      year: "numeric",
      month: "2-digit",
      day: "2-digit",
      hour: "2-digit",
      minute: "2-digit",
      hourCycle: "h23",
      timeZoneName: "longOffset",
    }).formatToParts(date);
  let found: Intl.DateTimeFormatPart[];
  try {
    found = parts(zone);
  } catch {
    // A zone that this computer's tables do not know.
    found = parts("UTC");
  }
  const part = (type: Intl.DateTimeFormatPartTypes): string => found.find((one) => one.type === type)?.value ?? "";
  const offset = part("timeZoneName").replace("GMT", "UTC");
  return `${part("year")}-${part("month")}-${part("day")} ${part("hour")}:${part("minute")} ${offset}`;
}

/** The day alone. */
export function dayInZone(time: string, zone: string): string {
  return timeInZone(time, zone).slice(0, 10);
}
