import { describe, expect, it } from "vitest";
import { dates, decimals, epochDay, numbers, step, widen } from "./ticks";

describe("numbers", () => {
  it("are round", () => {
    expect(numbers(0, 1, 5).map((x) => x.toFixed(1))).toEqual(["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]);
    expect(numbers(13.2, 20.4, 5)).toEqual([14, 16, 18, 20]);
    expect(numbers(-10, 10, 4)).toEqual([-10, -5, 0, 5, 10]);
  });

  it("have none between improper bounds", () => {
    for (const [low, high] of [
      [Number.NaN, 1],
      [0, Number.POSITIVE_INFINITY],
      [1, 1],
      [2, 1],
    ] as const) {
      expect(numbers(low, high, 5)).toEqual([]);
      expect(dates(low, high, 5)).toEqual([]);
    }
    expect(numbers(1e300, 1.0000001e300, 5).length).toBeLessThan(30);
  });

  it("show as many decimals as their step needs", () => {
    expect([decimals(step(1, 5)), decimals(0.05), decimals(0.01), decimals(20)]).toEqual([1, 2, 2, 0]);
  });
});

describe("bounds", () => {
  it("widen to whole steps", () => {
    expect(widen(13.2, 20.4, 5)).toEqual([12, 22]);
    expect(widen(0, 1, 5)).toEqual([0, 1]);
  });

  it("that are none become some", () => {
    expect(widen(Number.NaN, 1, 5)).toEqual([0, 1]);
    expect(widen(3, 3, 5)).toEqual([1, 5]);
  });
});

describe("dates", () => {
  it("are firsts of months over a season", () => {
    const at = dates(epochDay(2009, 10, 10), epochDay(2010, 2, 5), 6);
    expect(at).toEqual([
      epochDay(2009, 11, 1),
      epochDay(2009, 12, 1),
      epochDay(2010, 1, 1),
      epochDay(2010, 2, 1),
    ]);
  });

  it("are days over a fortnight, and whole ones", () => {
    const at = dates(epochDay(2009, 10, 10) + 0.4, epochDay(2009, 10, 22), 6);
    expect(at[0]).toBe(epochDay(2009, 10, 11));
    expect(at.length).toBeGreaterThanOrEqual(5);
  });
});
