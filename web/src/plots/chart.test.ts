import { describe, expect, it } from "vitest";
import { aligned, heading, inWords, range } from "./chart";
import type { Line, PlotModel } from "./model";
import { epochDay } from "./ticks";

const look = { ink: "ink" } as const;
const lines: Line[] = [
  {
    id: "a",
    label: "a",
    look,
    points: [
      [0, 1],
      [2, 3],
    ],
  },
  {
    id: "b",
    label: "b",
    look,
    points: [
      [1, 5],
      [2, Number.NaN],
    ],
  },
];
const model: PlotModel = {
  x: { label: "airflow", kind: "plain" },
  y: { label: "depth", kind: "length" },
  lines,
};

describe("lines on common places", () => {
  it("are undefined where they have no place and null where their value is missing", () => {
    expect(aligned(lines, model, "si")).toEqual([
      [0, 1, 2],
      [1, undefined, 3],
      [undefined, 5, null],
    ]);
  });

  it("stand in the unit shown", () => {
    const [, first] = aligned(lines, model, "us");
    expect(first?.[0]).toBeCloseTo(1 / 0.3048, 9);
  });
});

describe("ends of an axis", () => {
  const temperature = { label: "air", kind: "temperature" };

  it("are round in the unit shown, not in the unit kept", () => {
    expect(range([1.2, 8.7], temperature, "si")).toEqual([0, 10]);
    expect(range([1.2, 8.7], temperature, "us")).toEqual([30, 50]);
  });

  it("hold what is asked to be seen, and nothing else when they are tight", () => {
    expect(range([3, 4], { ...temperature, low: 0 }, "si")[0]).toBe(0);
    expect(range([3, 400], { ...temperature, low: 0, high: 24, tight: true }, "si")).toEqual([0, 24]);
  });

  it("are something even without a value", () => {
    expect(range([], temperature, "si")).toEqual([0, 1]);
    expect(range([Number.NaN], temperature, "si")).toEqual([0, 1]);
  });
});

describe("words of an axis", () => {
  it("name the unit once", () => {
    expect(heading({ label: "depth", kind: "length" }, "us")).toBe("depth, ft");
    expect(heading({ label: "date", kind: "date" }, "us")).toBe("date");
  });

  it("say a value in its unit, a year without commas, a date as a date", () => {
    expect(inWords(3.048, { label: "", kind: "length" }, "us")).toBe("10.0\u00a0ft");
    expect(inWords(1996, { label: "", kind: "plain" }, "us")).toBe("1996");
    expect(inWords(epochDay(1996, 11, 2), { label: "", kind: "date" }, "us")).toMatch(/1996/);
    expect(inWords(epochDay(1996, 11, 2), { label: "", kind: "day-and-month" }, "us")).not.toMatch(/1996/);
  });
});
