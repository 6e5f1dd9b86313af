/** What a handle changes in the text of a site: values as a person would write them, in the unit that stands there. */
import type { BinSurvey, Change, Field } from "../../api/types";
import { join } from "../../forms/schema";
import { fromUnit } from "../../lib/quantity";

function written(fields: readonly Field[], path: string): string | null {
  return fields.find((field) => field.path === path)?.value_text ?? null;
}

/** "15000 bu" as 15000 and "bu"; null when no number stands at its beginning. */
export function parts(text: string): { number: number; unit: string } | null {
  const found = /^\s*"?\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*([^"]*?)\s*"?\s*$/.exec(text);
  if (!found) return null;
  return { number: Number(found[1]), unit: found[2] ?? "" };
}

/** A number with at most `digits` figures and no zeros at its end. */
export function plain(value: number, digits = 5): string {
  return String(Number(value.toPrecision(digits)));
}

/** Moisture of all lots, shifted so that the first one has this fraction wet basis. */
export function toMoisture(bin: BinSurvey, moisture: number): Change[] {
  const by = moisture - (bin.lots[0]?.moisture_wb ?? moisture);
  return bin.lots.map((lot, i) => ({
    path: `${join("bins", bin.bin)}.lots[${i}].moisture`,
    value_text: `${plain(100 * (lot.moisture_wb + by), 4)} %`,
  }));
}

const DAYS_OF_MONTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/** "10-10" as the day of a year without 29 February, from 0; null when it is no day. */
export function dayOfYear(text: string | null): number | null {
  const found = /^\s*"?(\d{1,2})-(\d{1,2})"?\s*$/.exec(text ?? "");
  if (!found) return null;
  const [month, day] = [Number(found[1]), Number(found[2])];
  const most = DAYS_OF_MONTHS[month - 1];
  if (most === undefined || day < 1 || day > most + (month === 2 ? 1 : 0)) return null;
  return DAYS_OF_MONTHS.slice(0, month - 1).reduce((a, b) => a + b, 0) + Math.min(day, most) - 1;
}

/** The day back as "10-10"; days beyond the year come round. */
export function monthAndDay(day: number): string {
  let rest = ((Math.round(day) % 365) + 365) % 365;
  for (const [i, length] of DAYS_OF_MONTHS.entries()) {
    if (rest < length) return `${String(i + 1).padStart(2, "0")}-${String(rest + 1).padStart(2, "0")}`;
    rest -= length;
  }
  return "12-31";
}

/** First day of filling of a bin's first lot, null when it is not known as written. */
export function firstDay(fields: readonly Field[], bin: BinSurvey): number | null {
  return dayOfYear(written(fields, `${join("bins", bin.bin)}.lots[0].from`));
}

/** First days of all lots, moved so that the first one comes on this day of the year. */
export function toFirstDay(fields: readonly Field[], bin: BinSurvey, day: number): Change[] {
  const first = firstDay(fields, bin);
  if (first === null) return [];
  return bin.lots.flatMap((_, i) => {
    const path = `${join("bins", bin.bin)}.lots[${i}].from`;
    const was = dayOfYear(written(fields, path));
    return was === null ? [] : [{ path, value_text: monthAndDay(was + day - first) }];
  });
}

/** So many fans of one name. */
export function toFans(bin: BinSurvey, fan: string, count: number): Change[] {
  const list = Array.from({ length: count }, () => JSON.stringify(fan)).join(", ");
  return [{ path: `${join("bins", bin.bin)}.outfit.fans`, value_text: `[${list}]` }];
}

/** Moisture wanted, fraction wet basis as written; null when it stands there dry basis or not at all. */
export function target(fields: readonly Field[]): number | null {
  const found = parts(written(fields, "goal.mean_moisture") ?? "");
  if (!found) return null;
  if (/db/.test(found.unit)) return found.number / (100 + found.number);
  return found.number / 100;
}

export function toTarget(moisture: number): Change[] {
  return [{ path: "goal.mean_moisture", value_text: `${plain(100 * moisture, 4)} %` }];
}

/** Steps of a slider that are whole in the unit shown: value in SI from a count of steps. */
export function fromSteps(steps: number, size: number, kind: string, system: "si" | "us"): number {
  return fromUnit(steps * size, kind, system);
}
