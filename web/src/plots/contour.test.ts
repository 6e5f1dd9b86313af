import { expect, it } from "vitest";
import { contour } from "./contour";

it("finds the straight line through a slope", () => {
  // Values rise by one a row, alike in all columns: the level 1.25 lies a quarter below row 1.
  const values = [0, 0, 0, 1, 1, 1, 2, 2, 2];
  const pieces = contour(values, 3, 3, 1.25);
  expect(pieces.length).toBe(2);
  for (const [, y0, , y1] of pieces) {
    expect(y0).toBeCloseTo(1.25, 12);
    expect(y1).toBeCloseTo(1.25, 12);
  }
});

it("closes around a peak", () => {
  const pieces = contour([0, 0, 0, 0, 1, 0, 0, 0, 0], 3, 3, 0.5);
  expect(pieces.length).toBe(4);
  const ends = pieces.flatMap(([a, b, c, d]) => [`${a},${b}`, `${c},${d}`]);
  for (const end of new Set(ends)) expect(ends.filter((other) => other === end).length).toBe(2);
});

it("leaves out what has a missing corner and what lies on one side", () => {
  expect(contour([0, Number.NaN, 1, 1], 2, 2, 0.5)).toEqual([]);
  expect(contour([0, 0.1, 0.2, 0.3], 2, 2, 0.5)).toEqual([]);
});
