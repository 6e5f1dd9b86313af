/** Where an axis carries ticks: round numbers, or firsts of months and whole days. */

export interface Tick {
  at: number;
  label: string;
}

/** The step of 1, 2 or 5 times a power of ten that divides a span into at most `wanted` parts. */
export function step(span: number, wanted: number): number {
  const raw = span / Math.max(1, wanted);
  if (!(Number.isFinite(raw) && raw > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(raw));
  // A hair of slack, so that a span of just five steps is not spoilt by rounding.
  const found = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= raw * (1 - 1e-9));
  return found ?? 10 * power;
}

/** Decimals that a step needs. */
export function decimals(step: number): number {
  return step >= 1 ? 0 : Math.min(12, Math.max(0, -Math.floor(Math.log10(step) + 1e-9)));
}

/** Widens bounds to whole steps; bounds that are no proper interval become one around them. */
export function widen(low: number, high: number, wanted: number): [number, number] {
  if (!(Number.isFinite(low) && Number.isFinite(high))) return [0, 1];
  if (high <= low) {
    const half = 0.5 * Math.max(Math.abs(low), 1);
    [low, high] = [low - half, low + half];
  }
  const by = step(high - low, wanted);
  return [Math.floor(low / by + 1e-9) * by, Math.ceil(high / by - 1e-9) * by];
}

/** Round numbers from `low` to `high`, about `wanted` of them. */
export function numbers(low: number, high: number, wanted: number): number[] {
  if (!(Number.isFinite(low) && Number.isFinite(high)) || low >= high) return [];
  const by = step(high - low, wanted);
  const first = Math.ceil(low / by - 1e-6);
  const last = Math.floor(high / by + 1e-6);
  return Array.from(
    { length: Math.max(0, Math.min(last - first + 1, 4 * wanted)) },
    (_, i) => (first + i) * by,
  );
}

/** Days from 1970-01-01 of a calendar day; months count from 1. */
export function epochDay(year: number, month: number, day: number): number {
  return Date.UTC(year, month - 1, day) / 86_400_000;
}

/** Firsts of months, or days when the span is short; `x` counts days from 1970-01-01. */
export function dates(low: number, high: number, wanted: number): number[] {
  if (!(Number.isFinite(low) && Number.isFinite(high)) || low >= high || high - low > 36_600) return [];
  const span = high - low;
  const months = monthStarts(low, high);
  if (months.length >= 3 || span > 75) {
    const every = Math.max(1, Math.ceil(months.length / Math.max(1, wanted)));
    return months.filter((_, i) => i % every === 0);
  }
  const every = [1, 2, 5, 7, 14].find((days) => span / days <= wanted) ?? 28;
  const from = Math.ceil(low);
  return Array.from({ length: Math.floor((high - from) / every) + 1 }, (_, i) => from + i * every);
}

function monthStarts(low: number, high: number): number[] {
  const first = new Date(low * 86_400_000);
  const out: number[] = [];
  for (let month = 0; ; month++) {
    const at = Date.UTC(first.getUTCFullYear(), first.getUTCMonth() + month, 1) / 86_400_000;
    if (at > high) return out;
    if (at >= low) out.push(at);
  }
}
