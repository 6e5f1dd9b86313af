/** What a plot reads off: at a place under the hand, or step by step with the keys. Knows no canvas: places on the screen
 * come and go through `Places`. */
import type { Dot, Line, PlotModel, Point, Row } from "./model";

/** From values in SI to pixels of the plotting box. */
export interface Places {
  left(x: number): number;
  top(y: number): number;
  /** Back from pixels to the value along x. */
  x(left: number): number;
}

/** Words for values of both axes. */
export interface Words {
  x(value: number): string;
  y(value: number): string;
}

/** What is read. */
export interface Reading {
  x: number;
  /** Where the cursor stands; null in the middle of nowhere. */
  y: number | null;
  head: string;
  rows: Row[];
  /** Line or mark read, for what a click means. */
  id: string | null;
}

export type Key = "left" | "right" | "up" | "down" | "first" | "last" | "far-left" | "far-right";

export interface Probe {
  at(left: number, top: number, places: Places): Reading | null;
  step(from: Reading | null, key: Key): Reading | null;
}

/** Reach of a mark under the hand, pixels. */
const REACH = 14;
/** Reach of a line among many. */
const LINE_REACH = 40;
/** Steps of a far step. */
const FAR = 10;

/** A reading as one sentence, for ears. */
export function spoken(reading: Reading): string {
  const rows = reading.rows.map((row) => `${row.label} ${row.value}`.trim());
  return [reading.head, ...rows].filter((part) => part !== "").join("; ");
}

/** Value of a line at a place between its points, null outside. Points rise in x. */
export function valueAt(points: readonly Point[], x: number): number | null {
  const first = points[0];
  const last = points.at(-1);
  if (!first || !last || x < first[0] || x > last[0]) return null;
  let low = 0;
  let high = points.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((points[middle]?.[0] ?? 0) <= x) low = middle;
    else high = middle;
  }
  const [x0, y0] = points[low] ?? first;
  const [x1, y1] = points[high] ?? last;
  const value = x1 === x0 ? y1 : y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
  return Number.isFinite(value) ? value : null;
}

/** Reads lines and marks of a plot. */
export class PlotProbe implements Probe {
  readonly #lines: readonly Line[];
  readonly #dots: readonly Dot[];
  readonly #nearest: boolean;
  readonly #words: Words;
  /** Places the keys step through when all lines are read. */
  readonly #stops: number[];

  constructor(model: PlotModel, words: Words) {
    this.#lines = (model.lines ?? []).filter((line) => line.points.length > 0);
    this.#dots = [...(model.dots ?? [])].sort((a, b) => a.x - b.x || a.y - b.y);
    this.#nearest = model.reads === "nearest";
    this.#words = words;
    const stops = new Set(this.#lines.flatMap((line) => line.points.map((point) => point[0])));
    this.#stops = [...stops].filter(Number.isFinite).sort((a, b) => a - b);
  }

  at(left: number, top: number, places: Places): Reading | null {
    const dot = this.#dotNear(left, top, places);
    if (dot) return this.#dot(dot);
    if (this.#lines.length === 0) return null;
    const x = places.x(left);
    if (!this.#nearest) return this.#all(x);
    let best: { line: Line; y: number; off: number } | null = null;
    for (const line of this.#lines) {
      const y = valueAt(line.points, x);
      if (y === null) continue;
      const off = Math.abs(places.top(y) - top);
      if (off <= LINE_REACH && (best === null || off < best.off)) best = { line, y, off };
    }
    return best ? this.#line(best.line, x, best.y) : null;
  }

  step(from: Reading | null, key: Key): Reading | null {
    if (this.#lines.length === 0) return this.#stepDots(from, key);
    if (this.#nearest) return this.#stepNearest(from, key);
    // Up and down visit the marks, which stand apart from the lines.
    if ((key === "up" || key === "down") && this.#dots.length > 0) return this.#stepDots(from, key);
    const at = from ? closest(this.#stops, from.x) : -1;
    const x = this.#stops[moved(at, key, this.#stops.length)];
    return x === undefined ? null : this.#all(x);
  }

  #dotNear(left: number, top: number, places: Places): Dot | null {
    let best: Dot | null = null;
    let reach = REACH;
    for (const dot of this.#dots) {
      const off = Math.hypot(places.left(dot.x) - left, places.top(dot.y) - top);
      if (off <= reach) [best, reach] = [dot, off];
    }
    return best;
  }

  #stepDots(from: Reading | null, key: Key): Reading | null {
    const at = this.#dots.findIndex((dot) => dot.id === from?.id);
    const dot =
      this.#dots[moved(at, key === "up" ? "right" : key === "down" ? "left" : key, this.#dots.length)];
    return dot ? this.#dot(dot) : null;
  }

  #stepNearest(from: Reading | null, key: Key): Reading | null {
    const here = Math.max(
      0,
      this.#lines.findIndex((line) => line.id === from?.id),
    );
    const line = this.#lines[here];
    if (!line) return null;
    if (from && (key === "up" || key === "down")) {
      const next =
        this.#lines[(here + (key === "up" ? -1 : 1) + this.#lines.length) % this.#lines.length] ?? line;
      const first = next.points[0]?.[0] ?? from.x;
      const last = next.points.at(-1)?.[0] ?? from.x;
      const x = Math.min(last, Math.max(first, from.x));
      return this.#line(next, x, valueAt(next.points, x) ?? 0);
    }
    const xs = line.points.map((point) => point[0]);
    const at = from ? closest(xs, from.x) : -1;
    const point = line.points[moved(at, key, xs.length)];
    return point ? this.#line(line, point[0], point[1]) : null;
  }

  #all(x: number): Reading {
    const rows: Row[] = [];
    let y: number | null = null;
    for (const line of this.#lines) {
      const value = valueAt(line.points, x);
      if (value === null) continue;
      y ??= value;
      rows.push({ label: line.label, value: this.#words.y(value), look: line.look });
    }
    return { x, y, head: this.#words.x(x), rows, id: null };
  }

  #line(line: Line, x: number, y: number): Reading {
    const row: Row = {
      label: line.label,
      value: this.#words.y(y),
      look: line.look,
      ...(line.end ? { mark: line.end } : {}),
    };
    return { x, y, head: this.#words.x(x), rows: [row, ...(line.rows ?? [])], id: line.id };
  }

  #dot(dot: Dot): Reading {
    const rows: Row[] = dot.rows
      ? [...dot.rows]
      : [
          { label: "", value: this.#words.x(dot.x) },
          { label: "", value: this.#words.y(dot.y) },
        ];
    return { x: dot.x, y: dot.y, head: dot.label, rows, id: dot.id };
  }
}

/** Index after a key among `count`; from nowhere every key leads to the first, the last to the last. */
export function moved(at: number, key: Key, count: number): number {
  const last = count - 1;
  if (key === "first" || (at < 0 && key !== "last")) return 0;
  const by: Record<Exclude<Key, "first" | "last">, number> = {
    left: -1,
    down: -1,
    right: 1,
    up: 1,
    "far-left": -FAR,
    "far-right": FAR,
  };
  if (key === "last") return last;
  return Math.min(last, Math.max(0, at + by[key]));
}

function closest(sorted: readonly number[], x: number): number {
  let best = 0;
  let off = Number.POSITIVE_INFINITY;
  sorted.forEach((value, i) => {
    const distance = Math.abs(value - x);
    if (distance < off) [best, off] = [i, distance];
  });
  return best;
}
