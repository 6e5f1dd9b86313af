import { expect, it } from "vitest";
import { spoken } from "./probe";
import type { Grid } from "./raster";
import { RasterProbe } from "./rasterProbe";

const grid: Grid = {
  label: "slow",
  rows: 2,
  columns: 3,
  values: Float32Array.from([0.1, 0.2, 0.3, 0.4, Number.NaN, 0.6]),
  depths: Float64Array.from([1, 3]),
  days: Float64Array.from([10, 11, 12]),
};
const probe = new RasterProbe(grid, "moisture", {
  day: (day) => `day ${day}`,
  depth: (metres) => `${metres} m up`,
  value: (value) => value.toFixed(1),
});
const places = { left: (x: number) => x, top: (y: number) => 4 - y, x: (left: number) => left };

it("reads the cell under the hand", () => {
  const reading = probe.at(12.4, 0, places);
  expect(reading && spoken(reading)).toBe("day 12; moisture 0.6; 3 m up");
  const below = probe.at(9, 4, places);
  expect(below?.rows[0]?.value).toBe("0.1");
});

it("says so where no grain lies", () => {
  expect(probe.at(11, 1, places)?.rows[0]?.value).toBe("no grain");
});

it("goes up and down by rows and aside by columns", () => {
  const first = probe.step(null, "right");
  expect(first).toMatchObject({ x: 10, y: 1 });
  const up = probe.step(first, "up");
  expect(up).toMatchObject({ x: 10, y: 3 });
  expect(probe.step(up, "up")).toMatchObject({ x: 10, y: 3 });
  expect(probe.step(up, "last")).toMatchObject({ x: 12, y: 3 });
});
