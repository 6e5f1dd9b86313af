/** The yard as a plan: places, and lines of equal level. North is up. */
import { contour } from "../../plots/contour";
import type { Sound } from "./shapes";

/** Paper of the plan. */
export interface Plan {
  width: number;
  height: number;
  /** Screen units a metre. */
  scale: number;
  x: (east: number) => number;
  y: (north: number) => number;
}

export interface LevelLine {
  level: number;
  d: string;
  /** Where its figure stands. */
  at: readonly [number, number];
}

const MOST_HIGH = 520;

export function planOf(sound: Sound, width: number): Plan | null {
  const [east, north] = [sound.plan.east_m, sound.plan.north_m];
  const [west, far] = [east[0], east.at(-1)];
  const [south, top] = [north[0], north.at(-1)];
  if (west === undefined || far === undefined || south === undefined || top === undefined) return null;
  if (!(far > west && top > south)) return null;
  const scale = Math.min(width / (far - west), MOST_HIGH / (top - south));
  return {
    width: (far - west) * scale,
    height: (top - south) * scale,
    scale,
    x: (at) => (at - west) * scale,
    y: (at) => (top - at) * scale,
  };
}

/** Lines at every five decibels, few enough to be told apart. */
export function levelLines(sound: Sound, plan: Plan): LevelLine[] {
  const { east_m, north_m, levels_dba } = sound.plan;
  const values = levels_dba.flat();
  const finite = values.filter(Number.isFinite);
  const first = Math.ceil(Math.min(...finite) / 5) * 5;
  const last = Math.min(Math.floor(Math.max(...finite) / 5) * 5, first + 60);
  const place = (of: readonly number[], i: number) => {
    const low = Math.max(0, Math.min(of.length - 2, Math.floor(i)));
    return (of[low] ?? 0) + (i - low) * ((of[low + 1] ?? 0) - (of[low] ?? 0));
  };
  const out: LevelLine[] = [];
  for (let level = first; level <= last; level += 5) {
    const pieces = contour(values, north_m.length, east_m.length, level);
    if (pieces.length === 0) continue;
    const point = (column: number, row: number) =>
      [plan.x(place(east_m, column)), plan.y(place(north_m, row))] as const;
    const ends = pieces.map(([x0, y0, x1, y1]) => [point(x0, y0), point(x1, y1)] as const);
    // Its figure stands where the line comes nearest to the lower right corner: there lines lie far apart.
    const best = ends.reduce((a, b) => (b[0][0] + b[0][1] > a[0] + a[1] ? b[0] : a), [-1, -1] as readonly [
      number,
      number,
    ]);
    const d = ends.map(([a, b]) => `M${a.map(tenth).join(" ")}L${b.map(tenth).join(" ")}`).join("");
    out.push({ level, d, at: best });
  }
  return out;
}

const tenth = (value: number) => value.toFixed(1);
