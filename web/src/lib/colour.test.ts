import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { at, COLOURED, type Hues, type Rgb, STATIONS, scale, share, toLinear } from "./colour";

const ALL = Object.values(COLOURED).map((one) => one.hues);

/** OKLab by the forward matrices of the source, not the inverse that makes the scales. */
function oklab(rgb: Rgb): [number, number, number] {
  return oklabOf(rgb.map((c) => toLinear(c / 255)) as [number, number, number]);
}

function oklabOf([r, g, b]: readonly [number, number, number]): [number, number, number] {
  const long = Math.cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const middle = Math.cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const short = Math.cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  return [
    0.2104542553 * long + 0.793617785 * middle - 0.0040720468 * short,
    1.9779984951 * long - 2.428592205 * middle + 0.4505937099 * short,
    0.0259040371 * long + 0.7827717662 * middle - 0.808675766 * short,
  ];
}

function luminance(rgb: Rgb): number {
  const [r = 0, g = 0, b = 0] = rgb.map((c) => toLinear(c / 255));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/** W3C, Web Content Accessibility Guidelines 2.2, "contrast ratio". */
function contrast(one: Rgb, other: Rgb): number {
  const [light, dark] = [luminance(one), luminance(other)].toSorted((a, b) => b - a);
  return ((light ?? 0) + 0.05) / ((dark ?? 0) + 0.05);
}

type Matrix = readonly (readonly [number, number, number])[];

/** Colours as seen without one kind of cone, in linear sRGB. Source: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A
 * Physiologically-based Model for Simulation of Color Vision Deficiency" (2009), matrices for severity 1.0, as several public
 * copies of that table give them alike. Each row sums to 1, so that grey stays grey; that is checked too. */
const BLINDNESS: Record<string, Matrix> = {
  protanopia: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deuteranopia: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
};

function seen(rgb: Rgb, matrix: Matrix): [number, number, number] {
  const linear = rgb.map((c) => toLinear(c / 255));
  const through = matrix.map((row) => {
    const sum = row.reduce((total, factor, i) => total + factor * (linear[i] ?? 0), 0);
    return Math.min(1, Math.max(0, sum));
  });
  return oklabOf([through[0] ?? 0, through[1] ?? 0, through[2] ?? 0]);
}

function distance(one: readonly number[], other: readonly number[]): number {
  return Math.hypot(...one.map((value, i) => value - (other[i] ?? 0)));
}

describe("measured scales", () => {
  it("fall evenly in lightness", () => {
    for (const hues of ALL) {
      const light = scale(hues).steps.map((step) => oklab(step)[0]);
      const even = (0.95 - 0.3) * (15 / 255);
      for (let i = 0; i + 15 < light.length; i += 15) {
        const fall = (light[i] ?? 0) - (light[i + 15] ?? 0);
        expect(Math.abs(fall / even - 1), `${hues} at ${i}: ${fall}`).toBeLessThan(0.1);
      }
      for (let i = 3; i < light.length; i++) {
        expect(light[i], `${hues} at ${i}`).toBeLessThan(light[i - 3] ?? 0);
      }
    }
  });

  it("are even in colour, not only in lightness: no step is three times another", () => {
    for (const hues of ALL) {
      const colours = scale(hues)
        .steps.filter((_, i) => i % 15 === 0)
        .map(oklab);
      const steps = colours.slice(1).map((colour, i) => distance(colour, colours[i] ?? colour));
      expect(Math.max(...steps) / Math.min(...steps), hues).toBeLessThan(3);
    }
  });

  it("are told apart by readers who lack a kind of cone, value by value", () => {
    for (const [name, matrix] of Object.entries(BLINDNESS)) {
      for (const row of matrix) expect(row.reduce((sum, one) => sum + one, 0)).toBeCloseTo(1, 5);
      for (const hues of ALL) {
        const colours = scale(hues)
          .steps.filter((_, i) => i % 25 === 0)
          .map((step) => seen(step, matrix));
        for (let i = 0; i < colours.length; i++) {
          for (let j = i + 1; j < colours.length; j++) {
            // 0.02 is about a just noticeable difference of OKLab; a tenth of the scale keeps twice that.
            const apart = distance(colours[i] ?? [], colours[j] ?? []);
            expect(apart, `${name}, ${hues}, ${i} and ${j}`).toBeGreaterThan(0.04);
          }
        }
      }
    }
  });

  it("take the ends outside, and nothing for no number", () => {
    const one = scale(ALL[0] as Hues);
    expect(at(one, -1)).toEqual(one.steps[0]);
    expect(at(one, 9)).toEqual(one.steps[255]);
    expect(at(one, Number.NaN)).toBeNull();
    expect(share(5, 5, 5)).toBe(0.5);
    expect(share(0.2, 0.1, 0.3)).toBeCloseTo(0.5);
  });

  it("are those of the printed report", () => {
    // First, middle and last step of the report's scales, which its own test pins to the same stations.
    const rust = readFileSync(new URL("../../../crates/documents/src/colour.rs", import.meta.url), "utf8");
    for (const [hues, name] of [
      ["straw-to-water", "StrawToWater"],
      ["sky-to-ember", "SkyToEmber"],
      ["chalk-to-plum", "ChalkToPlum"],
    ]) {
      const line = new RegExp(`Hues::${name} => &\\[(.*)\\]`).exec(rust)?.[1] ?? "";
      const theirs = [...line.matchAll(/\(([\d.]+), ([\d.]+)\)/g)].map((pair) => [
        Number(pair[1]),
        Number(pair[2]),
      ]);
      expect(theirs).toHaveLength(5);
      expect(STATIONS[hues as Hues], name).toEqual(theirs);
    }
  });
});

describe("tokens", () => {
  const file = readFileSync(new URL("../styles/tokens.css", import.meta.url), "utf8");
  const tokens = new Map(
    [...file.matchAll(/--([\w-]+): light-dark\((#\w{6}), (#\w{6})\)/g)].map((m) => [
      m[1],
      [hex(m[2]), hex(m[3])],
    ]),
  );

  function hex(text: string | undefined): Rgb {
    const value = Number.parseInt((text ?? "").slice(1), 16);
    return [value >> 16, (value >> 8) & 255, value & 255];
  }

  function pair(front: string, back: string, day: number): number {
    const [a, b] = [tokens.get(front)?.[day], tokens.get(back)?.[day]];
    if (!a || !b) throw new Error(`no token ${front} or ${back}`);
    return contrast(a, b);
  }

  const grounds = ["paper", "desk", "field", "wash"];

  it("for text read on every ground, by day and at night", () => {
    for (const day of [0, 1]) {
      for (const ground of grounds) {
        for (const text of ["ink", "soft", "blue", "rust", "good", "held", "bad"]) {
          expect(pair(text, ground, day), `${text} on ${ground}, ${day}`).toBeGreaterThanOrEqual(4.5);
        }
      }
      expect(pair("on-blue", "blue", day)).toBeGreaterThanOrEqual(4.5);
      expect(pair("ink", "wash-bad", day)).toBeGreaterThanOrEqual(4.5);
      expect(pair("paper", "bad", day)).toBeGreaterThanOrEqual(4.5);
    }
  });

  it("for edges of fields and handles are seen", () => {
    for (const day of [0, 1]) {
      for (const ground of ["paper", "field"]) {
        for (const line of ["rule", "ink", "blue", "bad"]) {
          expect(pair(line, ground, day), `${line} on ${ground}, ${day}`).toBeGreaterThanOrEqual(3);
        }
      }
    }
  });
});
