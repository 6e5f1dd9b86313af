/** Plain text of the program in the reader's own style: numbers grouped, dates in one form, keys of the site file by the label
 * they have in the forms. Texts a person typed are never passed through here. */
import { label } from "../forms/words";
import { dayAndMonth, fullDate } from "../plots/dates";
import { inUnit, localNumber, shown } from "./quantity";
import type { UnitSystem } from "./settings.svelte";

const DAY = 86_400_000;
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** `2024-01-01T05:00Z`, and days of it. */
const INSTANT = /\b(\d{4})-(\d\d)-(\d\d)(?:T(\d\d:\d\d)(?::\d\d)?(Z)?)?(?![-\d])/g;
/** "15 Dec". */
const SHORT_DAY = new RegExp(`\\b(\\d{1,2}) (${MONTHS.join("|")})\\b`, "g");
/** A number that is part of no word, key or list of years: one with decimals, or one before its unit. */
const NUMBER =
  /(?<![\w.,:+-])-?(\d+\.\d+|\d{4,}(?=[\s\u00a0]+(?!and\b|to\b|or\b|of\b)[\p{L}$€£%°]))(?![\w:])/gu;
const COUNT_OF = /(?<![\w.,])(\d{4,})(?= of (\d{4,}))/g;
/** A key of the site file inside a sentence. */
const KEY = /(?<![\w."'[{])[a-z]+(?:_[a-z]+)+(?![\w."'\]}])/g;

/** Dates and numbers as this reader writes them. */
export function local(text: string): string {
  return text
    .replace(INSTANT, (whole, year, month, day, clock, zulu) => {
      const at = Date.UTC(Number(year), Number(month) - 1, Number(day)) / DAY;
      if (!Number.isFinite(at)) return whole;
      return `${fullDate(at)}${clock ? `, ${clock}${zulu ? " UTC" : ""}` : ""}`;
    })
    .replace(SHORT_DAY, (_, day, month) =>
      dayAndMonth(Date.UTC(2001, MONTHS.indexOf(month), Number(day)) / DAY),
    )
    .replace(COUNT_OF, (_, count) => localNumber(Number(count), 0))
    .replace(NUMBER, (found) => {
      const decimals = found.includes(".") ? found.length - found.indexOf(".") - 1 : 0;
      return localNumber(Number(found), decimals);
    });
}

/** The same, with keys of the site file named by their labels. */
export function prose(text: string): string {
  return local(text.replace(KEY, (key) => (label(key, null) === null ? key : `“${label(key)}”`)));
}

const SI_KINDS: Readonly<Record<string, string>> = {
  "°C": "temperature",
  K: "temperature-difference",
  m: "length",
  "m/s": "velocity",
};

/** Temperatures and lengths that an explanation names in SI, in the reader's units. */
export function inUnits(text: string, units: UnitSystem): string {
  if (units === "si") return local(text);
  const told = text.replace(
    /(?<![\w.])(-?\d+(?:\.\d+)?)[ \u00a0](°C|K|m\/s|m)(?![\w/°])/g,
    (_, number, unit) => {
      const value = Number(number);
      const kind = unit === "m" && Math.abs(value) < 0.25 ? "small-length" : (SI_KINDS[unit] ?? "number");
      // Round figures of an explanation stay round: tenths only where they say something.
      const tenths = Math.round(10 * inUnit(value, kind, units));
      return `${localNumber(tenths / 10, tenths % 10 === 0 ? 0 : 1)} ${shown(kind, units).unit}`;
    },
  );
  return local(told).replaceAll("in..", "in.");
}
