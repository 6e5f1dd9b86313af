/** Days as axes count them: from 1970-01-01, in the standard time of the site, which its instants carry. */

const DAY = 86_400_000;

/** "1995-10-24T18:00:00-06:00" as days: what its own clock shows, whatever the reader's. NaN when it is none. */
export function dayOf(instant: string | null | undefined): number {
  const wall = /^(\d{4}-\d\d-\d\d)(T\d\d:\d\d(:\d\d)?)?/.exec(instant ?? "");
  if (!wall) return Number.NaN;
  return Date.parse(`${wall[1]}${wall[2] ?? "T00:00"}Z`) / DAY;
}

/** The offset of an instant from UTC in days. */
export function offsetOf(instant: string): number {
  const found = /([+-])(\d\d):(\d\d)$/.exec(instant);
  if (!found) return 0;
  const minutes = Number(found[2]) * 60 + Number(found[3]);
  return ((found[1] === "-" ? -1 : 1) * minutes) / 1440;
}

const formats = new Map<string, Intl.DateTimeFormat>();

function format(name: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  let found = formats.get(name);
  if (!found) {
    found = new Intl.DateTimeFormat(undefined, { timeZone: "UTC", ...options });
    formats.set(name, found);
  }
  return found;
}

/** "14 Nov". */
export function dayAndMonth(day: number): string {
  if (!Number.isFinite(day)) return "";
  return format("short", { day: "numeric", month: "short" }).format(day * DAY);
}

/** "14 Nov 2009". */
export function fullDate(day: number): string {
  if (!Number.isFinite(day)) return "";
  return format("long", { day: "numeric", month: "short", year: "numeric" }).format(day * DAY);
}

/** "14 Nov 2009, 06:00"; midnight is the date alone. */
export function dateAndHour(day: number): string {
  if (!Number.isFinite(day)) return "";
  const minutes = Math.round((day - Math.floor(day)) * 1440);
  if (minutes === 0 || minutes === 1440) return fullDate(Math.round(day));
  const clock = `${String(Math.floor(minutes / 60)).padStart(2, "0")}:${String(minutes % 60).padStart(2, "0")}`;
  return `${fullDate(day)}, ${clock}`;
}

/** The same day in the year on which all seasons are laid over one another: dates fall on one another from 1 March to
 * the end of the next February. */
export function overlaid(day: number, year: number, onto: number): number {
  return day + (Date.UTC(onto, 6, 1) - Date.UTC(year, 6, 1)) / DAY;
}
