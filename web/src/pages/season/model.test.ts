import { describe, expect, it } from "vitest";
import type { BinSurvey } from "../../api/types";
import { epochDay } from "../../plots/ticks";
import type { SeasonMaps } from "./load";
import {
  asLong,
  binOn,
  dailyTable,
  endsOf,
  grainOn,
  mapSummary,
  mapTable,
  moistureModel,
  runningModel,
  scaleOf,
  span,
} from "./model";
import type { Daily, Hourly, SeasonView } from "./shapes";

const start = epochDay(1996, 10, 10);

function iso(day: number): string {
  return `${new Date((start + day) * 86_400_000).toISOString().slice(0, 16)}:00-06:00`;
}

function daily(day: number): Daily {
  return {
    at: iso(day),
    mean_moisture_wb: 0.2 - 0.001 * day,
    wettest_moisture_wb: 0.21,
    driest_moisture_wb: 0.15,
    mean_temperature_c: 10,
    coldest_c: 5,
    warmest_c: 15,
    storage_life_used: 0.01 * day,
    storage_life_used_published: 0.005 * day,
    fan_hours: day < 3 ? 24 : 6,
    fan_energy_j: 3.6e6,
    burner_energy_j: 0,
    ambient_c: 8,
    phase: "drying",
  };
}

const view = {
  year: 1996,
  started_at: iso(1 / 3),
  ended_at: iso(90),
  summary: { stopped_at: iso(40.5), burner_energy_j: 0 },
  daily: Array.from({ length: 90 }, (_, i) => daily(i + 1)),
  hourly: [] as Hourly[],
} as unknown as SeasonView;

/** Two columns of two layers over three days; the upper layer comes on the second day. */
function maps(): SeasonMaps {
  const days = Float64Array.from([start + 1, start + 2, start + 3]);
  const depths = Float64Array.from([0.5, 1.5]);
  const grid = (label: string, by: number) => ({
    label,
    rows: 2,
    columns: 3,
    values: Float32Array.from([0.2 + by, 0.18, 0.15, Number.NaN, 0.2, 0.19]),
    depths,
    days,
  });
  return {
    header: {
      quantity: "moisture",
      columns: [
        { name: "slow air", area_share: 0.4, air_share: 0.9, rows: 2, cols: 3 },
        { name: "fast air", area_share: 0.6, air_share: 1.1, rows: 2, cols: 3 },
      ],
      hours: [],
      depths_m: [0, 1, 2],
      surface_m: [1, 2, 2],
      low: 0.15,
      high: 0.215,
    },
    grids: [grid("slow air", 0.015), grid("fast air", 0)],
  };
}

describe("the days shown", () => {
  it("go a month beyond the end of drying, or to the end", () => {
    expect(span(view, false)).toEqual([start, start + 71]);
    expect(span(view, true)).toEqual([start, start + 90]);
    expect(asLong(span(view, false), 30)).toEqual([start, start + 30]);
  });

  it("never go beyond the end of the season", () => {
    const short = { ...view, ended_at: iso(50) };
    expect(span(short, false)).toEqual([start, start + 50]);
  });
});

describe("a scale", () => {
  it("has round ends, and a whole life is always on it", () => {
    const [low, high] = scaleOf("moisture", [maps()]);
    expect(low).toBeCloseTo(0.15, 9);
    expect(high).toBeCloseTo(0.22, 9);
    expect(scaleOf("life", [maps()])).toEqual([0, 1]);
    expect(scaleOf("moisture", [])).toEqual([0, 1]);
  });
});

describe("the grain of a day", () => {
  it("has the layers that are in by then, column by column", () => {
    const grain = grainOn(start + 1, "moisture", maps(), [0.1, 0.2]);
    expect(grain?.columns.map((column) => column.layers.length)).toEqual([1, 1]);
    expect(grain?.columns.map((column) => column.area)).toEqual([0.4, 0.6]);
    const later = grainOn(start + 2.9, "moisture", maps(), [0.1, 0.2]);
    expect(later?.columns[0]?.layers.map((layer) => layer.thickness_m)).toEqual([1, 1]);
    expect(later?.columns[0]?.layers[1]?.value).toBeCloseTo(0.19, 6);
  });

  it("lies as deep as it did", () => {
    const bin = { depth_m: 2 } as BinSurvey;
    expect(binOn(bin, start + 1, maps()).depth_m).toBe(1);
    expect(binOn(bin, start + 3, maps()).depth_m).toBe(2);
    expect(binOn(bin, start + 3, undefined)).toBe(bin);
  });
});

describe("a map", () => {
  it("tells its extremes with place and column", () => {
    const says = mapSummary("moisture", maps(), [start, start + 9], "si");
    expect(says).toContain("Highest 21.5\u00a0% w.b. on");
    expect(says).toContain("0.50\u00a0m above the floor, slow air");
    expect(says).toContain("lowest 15.0\u00a0% w.b.");
  });

  it("has a row a day and column, with a dash where no grain lies", () => {
    const table = mapTable("moisture", maps(), [start, start + 2], "si");
    expect(table.rows.length).toBe(4);
    expect(table.rows[0]?.slice(1)).toEqual(["slow air", "21.5", "–"]);
  });
});

it("strips stay inside the days shown", () => {
  const model = moistureModel(view, [start, start + 10], 0.155);
  expect(model.lines?.map((line) => line.points.length)).toEqual([10, 10, 10]);
  expect(model.x).toMatchObject({ low: start, high: start + 10, tight: true });
  expect(dailyTable(view, [start, start + 10], "us").rows.length).toBe(10);
});

it("years side by side have one measure, of what is shown of them", () => {
  const wetter = {
    ...view,
    daily: view.daily.map((day, i) => ({ ...day, wettest_moisture_wb: i < 5 ? 0.24 : 0.5 })),
  };
  expect(endsOf([view, wetter], 4.5).moisture).toEqual([0.15, 0.24]);
  expect(endsOf([view], 4.5).air).toBeNull();
});

it("a season without a fire has no line for one", () => {
  expect(runningModel(view, [start, start + 10]).lines?.map((line) => line.id)).toEqual(["fans"]);
});
