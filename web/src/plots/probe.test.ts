import { describe, expect, it } from "vitest";
import type { Line, PlotModel } from "./model";
import { moved, type Places, PlotProbe, spoken, valueAt } from "./probe";

const look = { ink: "ink" } as const;
const words = { x: (x: number) => `x ${x}`, y: (y: number) => `${y.toFixed(1)} m` };
/** One pixel a unit, upside down in a box of 100. */
const places: Places = { left: (x) => x, top: (y) => 100 - y, x: (left) => left };

function line(id: string, points: [number, number][]): Line {
  return { id, label: id, points, look };
}

const model: PlotModel = {
  x: { label: "x", kind: "number" },
  y: { label: "y", kind: "length" },
  lines: [
    line("low", [
      [0, 10],
      [10, 20],
    ]),
    line("high", [
      [0, 60],
      [5, 60],
      [10, 80],
    ]),
  ],
};

describe("the value of a line", () => {
  it("lies between its points and nowhere else", () => {
    const points = [
      [0, 0],
      [2, 4],
      [4, 0],
    ] as const;
    expect([valueAt(points, 1), valueAt(points, 2), valueAt(points, 3)]).toEqual([2, 4, 2]);
    expect([valueAt(points, -1), valueAt(points, 5), valueAt([], 1)]).toEqual([null, null, null]);
  });

  it("is missing beside a missing point", () => {
    expect(
      valueAt(
        [
          [0, 1],
          [1, Number.NaN],
        ],
        0.5,
      ),
    ).toBeNull();
  });
});

describe("reading all lines", () => {
  const probe = new PlotProbe(model, words);

  it("gives each line its row", () => {
    const reading = probe.at(5, 0, places);
    expect(reading?.rows.map((row) => row.value)).toEqual(["15.0 m", "60.0 m"]);
    expect(reading && spoken(reading)).toBe("x 5; low 15.0 m; high 60.0 m");
  });

  it("steps through all places of all lines", () => {
    const seen: number[] = [];
    let reading = probe.step(null, "right");
    for (let i = 0; i < 4; i++) {
      seen.push(reading?.x ?? Number.NaN);
      reading = probe.step(reading, "right");
    }
    expect(seen).toEqual([0, 5, 10, 10]);
    expect(probe.step(null, "last")?.x).toBe(10);
  });
});

describe("reading the nearest line", () => {
  const probe = new PlotProbe({ ...model, reads: "nearest" }, words);

  it("takes the one under the hand, and none far from all", () => {
    expect(probe.at(5, 100 - 17, places)?.id).toBe("low");
    expect(probe.at(5, 100 - 55, places)?.id).toBe("high");
    expect(probe.at(5, 100 - 900, places)).toBeNull();
  });

  it("goes from line to line with up and down and keeps its place", () => {
    const on = probe.step(probe.step(null, "right"), "last");
    expect(on).toMatchObject({ id: "low", x: 10 });
    expect(probe.step(on, "down")).toMatchObject({ id: "high", x: 10, y: 80 });
    expect(probe.step(on, "up")?.id).toBe("high");
  });
});

describe("reading marks", () => {
  const dots = [
    { id: "b", x: 8, y: 5, mark: "dot", ink: "ink", label: "second" },
    { id: "a", x: 2, y: 5, mark: "dot", ink: "ink", label: "first" },
  ] as const;
  const probe = new PlotProbe({ x: model.x, y: model.y, dots }, words);

  it("reaches a little around each", () => {
    expect(probe.at(3, 96, places)?.id).toBe("a");
    expect(probe.at(50, 96, places)).toBeNull();
  });

  it("steps from left to right", () => {
    const first = probe.step(null, "right");
    expect([first?.id, probe.step(first, "right")?.id, probe.step(first, "left")?.id]).toEqual([
      "a",
      "b",
      "a",
    ]);
  });
});

it("keys stay inside", () => {
  expect([moved(-1, "left", 3), moved(-1, "last", 3), moved(2, "right", 3), moved(1, "far-left", 3)]).toEqual(
    [0, 2, 2, 0],
  );
});
