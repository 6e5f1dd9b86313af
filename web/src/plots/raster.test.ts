import { describe, expect, it } from "vitest";
import { scale } from "../lib/colour";
import { edges, extremes, type Grid, type MapHeader, nearest, paint, readMaps } from "./raster";

function grid(values: number[], rows: number, columns: number): Grid {
  return {
    label: "slow",
    rows,
    columns,
    values: Float32Array.from(values),
    depths: Float64Array.from({ length: rows }, (_, i) => i + 0.5),
    days: Float64Array.from({ length: columns }, (_, i) => i),
  };
}

describe("a painted grid", () => {
  it("stands as the grain lies: the row at the inlet last", () => {
    const pixels = paint(grid([0, 0, 1, 1], 2, 2), 0, 1, "straw-to-water");
    const all = scale("straw-to-water").steps;
    expect([...pixels.slice(0, 3)]).toEqual(all[255]);
    expect([...pixels.slice(8, 11)]).toEqual(all[0]);
  });

  it("is clear where no grain lies and takes the end colours beyond its bounds", () => {
    const pixels = paint(grid([Number.NaN, 7, -7, 0], 1, 4), 0, 1, "straw-to-water");
    const all = scale("straw-to-water").steps;
    expect(pixels[3]).toBe(0);
    expect([...pixels.slice(4, 8)]).toEqual([...(all[255] ?? []), 255]);
    expect([...pixels.slice(8, 11)]).toEqual(all[0]);
  });

  it("of even values has one colour", () => {
    const pixels = paint(grid([0.2, 0.2], 1, 2), 0.2, 0.2, "straw-to-water");
    expect([...pixels.slice(0, 4)]).toEqual([...pixels.slice(4, 8)]);
  });
});

it("extremes pass over what is missing", () => {
  expect(extremes([Number.NaN, 2, 1, Number.POSITIVE_INFINITY])).toEqual([1, 2]);
  expect(extremes([Number.NaN])).toBeNull();
});

it("edges and the nearest middle belong together", () => {
  expect(edges([0.5, 1.5, 2.5])).toEqual([0, 3]);
  expect(edges([4])).toEqual([3.5, 4.5]);
  expect([-1, 0.9, 1.1, 2.2, 9].map((x) => nearest([0.5, 1.5, 2.5], x))).toEqual([0, 0, 1, 2, 2]);
});

describe("a file of maps", () => {
  const header: MapHeader = {
    columns: [
      { name: "slow", area_share: 0.5, air_share: 0.8, rows: 2, cols: 3 },
      { name: "fast", area_share: 0.5, air_share: 1.2, rows: 1, cols: 3 },
    ],
    hours: [0, 24, 48],
    depths_m: [0, 1, 3],
    surface_m: [1, 3, 3],
    quantity: "moisture",
    low: 0.1,
    high: 0.2,
  };

  function file(text: string, values: number[]): ArrayBuffer {
    const head = new TextEncoder().encode(text);
    const start = Math.ceil((4 + head.length) / 4) * 4;
    const buffer = new ArrayBuffer(start + 4 * values.length);
    const view = new DataView(buffer);
    view.setUint32(0, head.length, true);
    new Uint8Array(buffer, 4).set(head);
    values.forEach((value, i) => {
      view.setFloat32(start + 4 * i, value, true);
    });
    return buffer;
  }

  it("comes back column by column, whatever the length of its header", () => {
    for (const padding of ["", " ", "  ", "   "]) {
      const buffer = file(JSON.stringify(header) + padding, [1, 2, 3, 4, 5, 6, 7, 8, Number.NaN]);
      const { grids } = readMaps(buffer, (hour) => hour / 24);
      expect(grids.map((g) => g.label)).toEqual(["slow", "fast"]);
      expect([...(grids[0]?.values ?? [])]).toEqual([1, 2, 3, 4, 5, 6]);
      expect([...(grids[1]?.values ?? [])]).toEqual([7, 8, Number.NaN]);
      expect([...(grids[0]?.days ?? [])]).toEqual([0, 1, 2]);
      expect([...(grids[0]?.depths ?? [])]).toEqual([0.5, 2]);
    }
  });

  it("cut short is refused with the column's name", () => {
    const buffer = file(JSON.stringify(header), [1, 2, 3, 4, 5, 6, 7]);
    expect(() => readMaps(buffer, (hour) => hour)).toThrow("fast");
    expect(() => readMaps(new ArrayBuffer(2), (hour) => hour)).toThrow("empty");
    expect(() => readMaps(buffer.slice(0, 20), (hour) => hour)).toThrow("header");
  });
});
