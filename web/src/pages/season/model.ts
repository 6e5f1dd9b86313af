/** One season as plots, tables, summaries, and the grain of one day for the section. */
import type { BinSurvey } from "../../api/types";
import { COLOURED, type Coloured } from "../../lib/colour";
import { axis, display, inUnit, localNumber } from "../../lib/quantity";
import type { UnitSystem } from "../../lib/settings.svelte";
import { dateAndHour, dayAndMonth, dayOf, fullDate } from "../../plots/dates";
import type { Line, PlotModel, Point, TableModel } from "../../plots/model";
import { extremes, type Grid, nearest } from "../../plots/raster";
import type { GrainState } from "../../sheet/model";
import type { SeasonMaps } from "./load";
import type { Daily, Hourly, SeasonView } from "./shapes";

/** Days shown after drying stopped, unless one wants all. */
const AFTER = 30;
/** Rows of a long table at most: more are neither read nor held well by a page. */
const MOST_ROWS = 200;

export type Span = readonly [first: number, last: number];

/** From the first load to a while after drying stopped, or to the end. */
export function span(view: SeasonView, whole: boolean): Span {
  const first = Math.floor(dayOf(view.started_at));
  const last = Math.ceil(dayOf(view.ended_at));
  const stopped = dayOf(view.summary.stopped_at);
  if (whole || !Number.isFinite(stopped)) return [first, last];
  return [first, Math.min(last, Math.ceil(stopped) + AFTER)];
}

/** The same beginning, so many days long: two years side by side need one measure of time. */
export function asLong([first]: Span, days: number): Span {
  return [first, first + days];
}

/** Ends of a scale over all maps to be compared. Moisture and life start and end at round shares, so that they compare over
 * years; all of a life is always on its scale. */
export function scaleOf(quantity: Coloured, maps: readonly SeasonMaps[]): [number, number] {
  const found = extremes(maps.flatMap(({ header }) => [header.low ?? Number.NaN, header.high ?? Number.NaN]));
  const [low, high] = found ?? [0, 1];
  if (quantity === "life") return [0, Math.max(1, high)];
  const by = quantity === "moisture" ? 0.01 : 5;
  return [Math.floor(low / by + 1e-9) * by, Math.ceil(high / by - 1e-9) * by];
}

/** The grain on a day, for the section. */
export function grainOn(
  day: number,
  quantity: Coloured,
  maps: SeasonMaps | undefined,
  ends: readonly [number, number],
): GrainState | null {
  if (!maps) return null;
  const { header, grids } = maps;
  const columns = grids.map((grid, i) => {
    const at = nearest(grid.days, day);
    const layers = [];
    for (let row = 0; row < grid.rows; row++) {
      const value = grid.values[row * grid.columns + at] ?? Number.NaN;
      if (Number.isNaN(value)) continue;
      const thickness = (header.depths_m[row + 1] ?? 0) - (header.depths_m[row] ?? 0);
      layers.push({ thickness_m: thickness, value });
    }
    return { name: grid.label, area: header.columns[i]?.area_share ?? 1, layers };
  });
  return { quantity, low: ends[0], high: ends[1], columns, when: `on ${fullDate(day)}` };
}

/** A bin drawn with the depth it has on a day. */
export function binOn(bin: BinSurvey, day: number, maps: SeasonMaps | undefined): BinSurvey {
  const first = maps?.grids[0];
  if (!maps || !first) return bin;
  return { ...bin, depth_m: maps.header.surface_m[nearest(first.days, day)] ?? bin.depth_m };
}

function shown<T extends { at: string }>(rows: readonly T[], [first, last]: Span): { day: number; row: T }[] {
  return rows
    .map((row) => ({ day: dayOf(row.at), row }))
    .filter(({ day }) => day >= first - 1e-6 && day <= last + 1e-6);
}

function x(label: string, [low, high]: Span): PlotModel["x"] {
  return { label, kind: "date", low, high, tight: true };
}

function lines<T extends { at: string }>(
  rows: readonly T[],
  at: Span,
  of: readonly { label: string; pick: (row: T) => number; look: Line["look"] }[],
): Line[] {
  const days = shown(rows, at);
  return of.map(({ label, pick, look }) => ({
    id: label,
    label,
    points: days.map(({ day, row }): Point => [day, pick(row)]),
    look,
  }));
}

/** Ends of the axes of strips, alike for all years that are compared. */
export interface Ends {
  moisture: readonly [number, number] | null;
  air: readonly [number, number] | null;
}

export function endsOf(views: readonly SeasonView[], days: number): Ends {
  const within = <T extends { at: string }>(view: SeasonView, rows: readonly T[]) =>
    shown(rows, asLong(span(view, true), days)).map(({ row }) => row);
  return {
    moisture: extremes(
      views.flatMap((view) =>
        within(view, view.daily).flatMap((day) => [day.wettest_moisture_wb, day.driest_moisture_wb]),
      ),
    ),
    air: extremes(
      views.flatMap((view) =>
        within(view, view.hourly).flatMap((hour) => [hour.ambient_c, hour.plenum_c, hour.exhaust_c]),
      ),
    ),
  };
}

function ranged(ends: readonly [number, number] | null): { low?: number; high?: number } {
  return ends ? { low: ends[0], high: ends[1] } : {};
}

/** Moisture of the whole bin, day by day. */
export function moistureModel(
  view: SeasonView,
  at: Span,
  target: number | null,
  ends: Ends["moisture"] = null,
): PlotModel {
  return {
    x: x("date", at),
    y: { label: "moisture", kind: "moisture-wet-basis", ...ranged(ends) },
    lines: lines<Daily>(view.daily, at, [
      { label: "wettest tenth", pick: (day) => day.wettest_moisture_wb, look: { ink: "blue", width: 1.4 } },
      { label: "mean", pick: (day) => day.mean_moisture_wb, look: { ink: "ink", width: 2.4 } },
      {
        label: "driest tenth",
        pick: (day) => day.driest_moisture_wb,
        look: { ink: "rust", width: 1.4, dash: [5, 3] },
      },
    ]),
    rules: target === null ? [] : [{ along: "x", at: target, label: "wanted" }],
  };
}

export function moistureSummary(view: SeasonView, system: UnitSystem): string {
  const { summary } = view;
  const wet = (value: number) => display(value, "moisture-wet-basis", system);
  const when = summary.stopped_at
    ? `When drying stopped on ${fullDate(dayOf(summary.stopped_at))}`
    : "At the end";
  return (
    `${when}: mean ${wet(summary.mean_moisture_wb)}, wettest tenth ${wet(summary.wettest_moisture_wb)}, ` +
    `driest ${wet(summary.driest_moisture_wb)}`
  );
}

/** Air outside, entering and leaving, hour by hour. */
export function airModel(view: SeasonView, at: Span, ends: Ends["air"] = null): PlotModel {
  return {
    x: x("date", at),
    y: { label: "temperature", kind: "temperature", ...ranged(ends) },
    lines: lines<Hourly>(view.hourly, at, [
      { label: "outside", pick: (hour) => hour.ambient_c, look: { ink: "soft", width: 1 } },
      { label: "plenum", pick: (hour) => hour.plenum_c, look: { ink: "rust", width: 1.2 } },
      { label: "leaving the grain", pick: (hour) => hour.exhaust_c, look: { ink: "blue", width: 1.6 } },
    ]),
  };
}

export function humidityModel(view: SeasonView, at: Span): PlotModel {
  return {
    x: x("date", at),
    y: { label: "relative humidity", kind: "relative-humidity", low: 0, high: 1 },
    lines: lines<Hourly>(view.hourly, at, [
      { label: "outside", pick: (hour) => hour.ambient_relative_humidity, look: { ink: "soft", width: 1 } },
      { label: "plenum", pick: (hour) => hour.plenum_relative_humidity, look: { ink: "rust", width: 1.2 } },
    ]),
  };
}

function span2(values: readonly number[], kind: string, system: UnitSystem): string {
  const found = extremes(values);
  return found ? `${display(found[0], kind, system)} to ${display(found[1], kind, system)}` : "nothing";
}

export function airSummary(view: SeasonView, at: Span, system: UnitSystem): string {
  const hours = shown(view.hourly, at).map(({ row }) => row);
  return (
    `Outside ${span2(
      hours.map((hour) => hour.ambient_c),
      "temperature",
      system,
    )}, plenum ` +
    `${span2(
      hours.map((hour) => hour.plenum_c),
      "temperature",
      system,
    )}.`
  );
}

export function humiditySummary(view: SeasonView, at: Span, system: UnitSystem): string {
  const hours = shown(view.hourly, at).map(({ row }) => row);
  const mean = (pick: (hour: Hourly) => number) =>
    hours.length === 0 ? Number.NaN : hours.reduce((sum, hour) => sum + pick(hour), 0) / hours.length;
  return (
    `On the mean ${display(
      mean((hour) => hour.ambient_relative_humidity),
      "relative-humidity",
      system,
    )} outside, ` +
    `${display(
      mean((hour) => hour.plenum_relative_humidity),
      "relative-humidity",
      system,
    )} in the plenum.`
  );
}

/** Hours a day the fans ran and the burner burned. */
export function runningModel(view: SeasonView, at: Span): PlotModel {
  const days = shown(view.daily, at);
  const zero = days.map(() => 0);
  const burned = burnerHours(view);
  const burner: Line[] = burned
    ? [
        {
          id: "burner",
          label: "burner",
          points: days.map(({ day }): Point => [day, burned.get(Math.round(day)) ?? 0]),
          look: { ink: "rust", width: 2, dash: [5, 3] },
        },
      ]
    : [];
  return {
    x: x("date", at),
    y: { label: "hours a day", kind: "plain", low: 0, high: 24, tight: true },
    lines: [
      {
        id: "fans",
        label: "fans",
        points: days.map(({ day, row }): Point => [day, row.fan_hours]),
        look: { ink: "blue", width: 2 },
      },
      ...burner,
    ],
    bands: [
      {
        label: "fans",
        x: days.map(({ day }) => day),
        low: zero,
        high: days.map(({ row }) => row.fan_hours),
      },
    ],
  };
}

/** Hours of each day with fire, by the day's end; null without any. */
function burnerHours(view: SeasonView): Map<number, number> | null {
  if (!((view.summary.burner_energy_j ?? 0) > 0)) return null;
  const out = new Map<number, number>();
  let last: number | null = null;
  for (const hour of view.hourly) {
    const at = dayOf(hour.at);
    const length = last === null ? 1 / 24 : Math.min(1 / 24, Math.max(0, at - last));
    last = at;
    if (hour.burner_rise_k <= 0) continue;
    const end = Math.floor(at) + 1;
    out.set(end, (out.get(end) ?? 0) + 24 * length);
  }
  return out;
}

export function runningSummary(view: SeasonView, system: UnitSystem): string {
  const { summary } = view;
  const parts = [`Fans ran ${localNumber(summary.fan_hours ?? 0, 0)} h`];
  if (summary.fan_energy_j !== null) parts.push(display(summary.fan_energy_j, "electric-energy", system));
  if ((summary.burner_energy_j ?? 0) > 0)
    parts.push(`burner ${display(summary.burner_energy_j, "heat", system)}`);
  if (summary.energy_cost) {
    parts.push(`${localNumber(summary.energy_cost.amount, 0)} ${summary.energy_cost.currency}`);
  }
  return `${parts.join(", ")}, the whole season.`;
}

/** Everything known of each day. */
export function dailyTable(view: SeasonView, at: Span, system: UnitSystem): TableModel {
  const number = true;
  const wet = (value: number) => localNumber(inUnit(value, "moisture-wet-basis", system), 1);
  const warm = (value: number) => localNumber(inUnit(value, "temperature", system), 1);
  return {
    head: [
      { label: "Day" },
      { label: "Phase" },
      { label: axis("mean moisture", "moisture-wet-basis", system), number },
      { label: "wettest tenth", number },
      { label: "driest tenth", number },
      { label: axis("grain", "temperature", system), number },
      { label: "coldest", number },
      { label: "warmest", number },
      { label: axis("outside", "temperature", system), number },
      { label: "storage life used, %", number },
      { label: "fan, h", number },
      { label: axis("fans", "electric-energy", system), number },
    ],
    rows: shown(view.daily, at).map(({ day, row }) => [
      // A day ends at its midnight.
      fullDate(day - 0.5),
      row.phase,
      wet(row.mean_moisture_wb),
      wet(row.wettest_moisture_wb),
      wet(row.driest_moisture_wb),
      warm(row.mean_temperature_c),
      warm(row.coldest_c),
      warm(row.warmest_c),
      warm(row.ambient_c),
      localNumber(100 * row.storage_life_used, 1),
      localNumber(row.fan_hours, 1),
      localNumber(inUnit(row.fan_energy_j, "electric-energy", system), 0),
    ]),
  };
}

const ORDINALS = ["", "", "second", "third"];

function ordinal(n: number): string {
  return ORDINALS[n] ?? `${n}th`;
}

/** The air hour by hour, thinned so that a page can hold it. */
export function hourlyTable(view: SeasonView, at: Span, system: UnitSystem): TableModel {
  const number = true;
  const warm = (value: number) => localNumber(inUnit(value, "temperature", system), 1);
  const share = (value: number) => localNumber(100 * value, 0);
  const hours = shown(view.hourly, at);
  // Whole parts of a day, so that the same hours of all days stand under one another.
  const every = [1, 2, 3, 4, 6, 12, 24, 48, 96].find((n) => hours.length / n <= MOST_ROWS) ?? 96;
  return {
    head: [
      { label: "Hour" },
      { label: axis("outside", "temperature", system), number },
      { label: "% RH", number },
      { label: axis("plenum", "temperature", system), number },
      { label: "% RH", number },
      { label: axis("leaving", "temperature", system), number },
      { label: "fans", number },
      { label: axis("burner", "temperature-difference", system), number },
      { label: axis("plenum pressure", "pressure", system), number },
    ],
    rows: hours
      .filter((_, i) => i % every === 0)
      .map(({ day, row }) => [
        dateAndHour(day),
        warm(row.ambient_c),
        share(row.ambient_relative_humidity),
        warm(row.plenum_c),
        share(row.plenum_relative_humidity),
        warm(row.exhaust_c),
        String(row.fans),
        localNumber(inUnit(row.burner_rise_k, "temperature-difference", system), 1),
        localNumber(inUnit(row.plenum_pressure_pa, "pressure", system), system === "us" ? 2 : 0),
      ]),
    note: every > 1 ? `Every ${ordinal(every)} hour.` : "",
  };
}

/** A map in words: its extremes, when and where. */
export function mapSummary(quantity: Coloured, maps: SeasonMaps, at: Span, system: UnitSystem): string {
  const { kind } = COLOURED[quantity];
  let best: { value: number; day: number; depth: number; label: string } | null = null;
  let least: { value: number; day: number; depth: number; label: string } | null = null;
  for (const grid of maps.grids) {
    each(grid, at, (value, day, depth) => {
      if (best === null || value > best.value) best = { value, day, depth, label: grid.label };
      if (least === null || value < least.value) least = { value, day, depth, label: grid.label };
    });
  }
  if (best === null || least === null) return "No grain.";
  const where = (one: { value: number; day: number; depth: number; label: string }) =>
    `${display(one.value, kind, system)} on ${dayAndMonth(one.day)}, ` +
    `${display(one.depth, "length", system)} above the floor${maps.grids.length > 1 ? `, ${one.label}` : ""}`;
  return quantity === "life"
    ? `Most used: ${where(best)}.`
    : `Highest ${where(best)}; lowest ${where(least)}.`;
}

function each(
  grid: Grid,
  [first, last]: Span,
  visit: (value: number, day: number, depth: number) => void,
): void {
  for (let column = 0; column < grid.columns; column++) {
    const day = grid.days[column] ?? Number.NaN;
    if (!(day >= first && day <= last)) continue;
    for (let row = 0; row < grid.rows; row++) {
      const value = grid.values[row * grid.columns + column] ?? Number.NaN;
      if (!Number.isNaN(value)) visit(value, day, grid.depths[row] ?? 0);
    }
  }
}

/** Heights of a map's table. */
const HEIGHTS = 8;

/** A map as a table: days down, heights across, one column of grain after the other. */
export function mapTable(quantity: Coloured, maps: SeasonMaps, at: Span, system: UnitSystem): TableModel {
  const { kind, name } = COLOURED[quantity];
  const decimals = quantity === "life" ? 0 : 1;
  const rows: string[][] = [];
  const first = maps.grids[0];
  const picks = first
    ? Array.from({ length: Math.min(HEIGHTS, first.rows) }, (_, i) =>
        Math.round((i * (first.rows - 1)) / Math.max(1, Math.min(HEIGHTS, first.rows) - 1)),
      )
    : [];
  const days = (first ? [...first.days] : []).filter((day) => day >= at[0] && day <= at[1]).length;
  const every = Math.max(1, Math.ceil((days * maps.grids.length) / MOST_ROWS));
  for (const grid of maps.grids) {
    for (let column = 0; column < grid.columns; column += every) {
      const day = grid.days[column] ?? Number.NaN;
      if (!(day >= at[0] && day <= at[1])) continue;
      rows.push([
        fullDate(day),
        grid.label,
        ...picks.map((row) => {
          const value = grid.values[row * grid.columns + column] ?? Number.NaN;
          return Number.isNaN(value) ? "–" : localNumber(inUnit(value, kind, system), decimals);
        }),
      ]);
    }
  }
  return {
    head: [
      { label: "Day" },
      { label: "Column" },
      ...picks.map((row) => ({
        label: `at ${display(first?.depths[row] ?? 0, "length", system)}`,
        number: true,
      })),
    ],
    rows,
    note: `${axis(name, kind, system)}; heights above the floor, ${picks.length} of ${first?.rows ?? 0} layers${every > 1 ? `; every ${ordinal(every)} day` : ""}.`,
  };
}

/** The weather over the scrubber: a day's mean outside, and what the grain makes of it. */
export function weatherModel(view: SeasonView, at: Span): PlotModel {
  return {
    x: x("date", at),
    y: { label: "temperature, daily means", kind: "temperature" },
    lines: lines<Daily>(view.daily, at, [
      { label: "outside", pick: (day) => day.ambient_c, look: { ink: "soft", width: 1.6 } },
      {
        label: "grain",
        pick: (day) => day.mean_temperature_c,
        look: { ink: "blue", width: 1.8, dash: [6, 3] },
      },
    ]),
  };
}

export function weatherSummary(view: SeasonView, at: Span, system: UnitSystem): string {
  const days = shown(view.daily, at);
  const first = days[0];
  if (!first) return "No day.";
  const coldest = days.reduce((a, b) => (b.row.ambient_c < a.row.ambient_c ? b : a), first);
  return (
    `From ${fullDate(at[0])} to ${fullDate(at[1])}; coldest day ${fullDate(coldest.day - 0.5)} with ` +
    `${display(coldest.row.ambient_c, "temperature", system)} on the mean.`
  );
}
