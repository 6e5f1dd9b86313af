import { describe, expect, it } from "vitest";
import type { BinSurvey } from "../api/types";
import { layout, places, rings, roundLength } from "./layout";

function bin(diameter_m: number, eave_m: number): BinSurvey {
  const drawing = { plenum_m: 0.46, roof_rise_m: diameter_m * 0.2885 };
  return { diameter_m, eave_m, drawing } as BinSurvey;
}

const WIDTHS = [300, 348, 460, 720, 1100];

describe("the section", () => {
  it("is to one scale and stays on the sheet, whatever the bin", () => {
    for (const width of WIDTHS) {
      for (const [diameter, eave] of [
        [3, 30],
        [11, 7.3],
        [32, 10],
        [48, 4],
      ] as const) {
        const at = layout(bin(diameter, eave), width);
        if (!at) throw new Error("no layout");
        expect(at.x(at.radius) - at.x(-at.radius)).toBeCloseTo(diameter * at.scale, 6);
        expect(at.y(at.floor) - at.y(at.eave)).toBeCloseTo(eave * at.scale, 6);
        expect(at.x(-at.radius)).toBeGreaterThanOrEqual(80);
        expect(at.x(at.radius)).toBeLessThanOrEqual(width - 60);
        expect(at.y(at.top)).toBeGreaterThanOrEqual(30);
        expect(at.y(0)).toBeLessThan(at.height);
        for (const side of [null, "discharge", "inlet"]) {
          const { fan, burner, size, box } = places(at, side);
          expect(fan[0] - size).toBeGreaterThanOrEqual(0);
          expect(fan[1] + size).toBeLessThanOrEqual(at.y(0));
          if (side) expect(burner[0] - box / 2).toBeGreaterThanOrEqual(0);
        }
      }
    }
  });

  it("is not drawn of measures that are none", () => {
    for (const [diameter, eave] of [
      [0, 7],
      [Number.NaN, 7],
      [11, Number.POSITIVE_INFINITY],
      [-3, 7],
    ] as const) {
      expect(layout(bin(diameter, eave), 500)).toBeNull();
    }
  });

  it("draws columns as rings of their area", () => {
    const at = layout(bin(10, 6), 600);
    if (!at) throw new Error("no layout");
    const layers = [
      { thickness_m: 2, value: 0.2 },
      { thickness_m: Number.NaN, value: 0.1 },
      { thickness_m: 1, value: 0.15 },
    ];
    const drawn = rings(
      [0.25, 0.5, 0.25].map((area) => ({ name: String(area), area, layers })),
      at,
    );
    const areas = drawn.map((ring) => (ring.outside ** 2 - ring.inside ** 2) / 25);
    for (const [i, area] of [0.25, 0.5, 0.25].entries()) expect(areas[i]).toBeCloseTo(area, 9);
    expect(drawn.map((ring) => ring.depth)).toEqual([3, 3, 3]);
    expect(drawn.map((ring) => ring.bars.length)).toEqual([2, 4, 4]);
    expect(drawn.flatMap((ring) => ring.bars).every((bar) => bar.width > 0 && bar.height > 0)).toBe(true);
  });

  it("has a bar of a round length", () => {
    for (const about of [0.013, 0.4, 1.4, 5.1, 77]) {
      const round = roundLength(about);
      expect([1, 2, 5]).toContain(Number(String(round.toPrecision(1)).replace(/[0.]|e.*/g, "")));
      expect(round / about).toBeGreaterThan(0.5);
      expect(round / about).toBeLessThan(2.5);
    }
  });
});
