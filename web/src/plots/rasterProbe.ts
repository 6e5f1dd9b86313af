/** Reads a map of depth and time: the cell under the hand, cell by cell with the keys. */
import { type Key, moved, type Places, type Probe, type Reading } from "./probe";
import { type Grid, nearest } from "./raster";

export interface RasterWords {
  day(day: number): string;
  depth(metres: number): string;
  value(value: number): string;
}

/** What stands where no grain lies. */
const NO_GRAIN = "no grain";

export class RasterProbe implements Probe {
  readonly #grid: Grid;
  readonly #words: RasterWords;
  readonly #label: string;

  constructor(grid: Grid, label: string, words: RasterWords) {
    this.#grid = grid;
    this.#label = label;
    this.#words = words;
  }

  at(left: number, top: number, places: Places): Reading | null {
    const { days, depths } = this.#grid;
    if (days.length === 0 || depths.length === 0) return null;
    const column = nearest(days, places.x(left));
    let row = 0;
    let off = Number.POSITIVE_INFINITY;
    depths.forEach((depth, i) => {
      const distance = Math.abs(places.top(depth) - top);
      if (distance < off) [row, off] = [i, distance];
    });
    return this.#cell(row, column);
  }

  step(from: Reading | null, key: Key): Reading | null {
    const { days, depths } = this.#grid;
    if (days.length === 0 || depths.length === 0) return null;
    if (!from) return this.#cell(0, key === "last" ? days.length - 1 : 0);
    const column = nearest(days, from.x);
    const row = nearest(depths, from.y ?? 0);
    if (key === "up" || key === "down") return this.#cell(moved(row, key, depths.length), column);
    return this.#cell(row, moved(column, key, days.length));
  }

  #cell(row: number, column: number): Reading {
    const { days, depths, values, columns } = this.#grid;
    const [x, y] = [days[column] ?? 0, depths[row] ?? 0];
    const value = values[row * columns + column] ?? Number.NaN;
    return {
      x,
      y,
      head: this.#words.day(x),
      rows: [
        { label: this.#label, value: Number.isNaN(value) ? NO_GRAIN : this.#words.value(value) },
        { label: "", value: this.#words.depth(y) },
      ],
      id: null,
    };
  }
}
