/** Values over depth and time as pixels: one a cell, put into the plotting box of a plot by its canvas. */
import { type Hues, scale } from "../lib/colour";

/** Values of one column of grain, row-major: depth from the air inlet × time. NaN where no grain lies. */
export interface Grid {
  label: string;
  rows: number;
  columns: number;
  values: Float32Array;
  /** Middles of the rows from the air inlet, m. */
  depths: Float64Array;
  /** Instants of the columns, days from 1970-01-01 in the site's standard time. */
  days: Float64Array;
}

/** Lowest and highest of all values, null when there are none. */
export function extremes(values: Iterable<number>): [number, number] | null {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (!Number.isFinite(value)) continue;
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return low <= high ? [low, high] : null;
}

/** Pixels of a grid, red green blue alpha, the deepest row (farthest from the inlet) first, as it lies in the bin. */
export function paint(grid: Grid, low: number, high: number, hues: Hues): Uint8ClampedArray<ArrayBuffer> {
  const { rows, columns, values } = grid;
  const pixels = new Uint8ClampedArray(rows * columns * 4);
  const palette = scale(hues).steps;
  const last = palette.length - 1;
  const per = high > low ? last / (high - low) : 0;
  for (let row = 0; row < rows; row++) {
    const to = (rows - 1 - row) * columns * 4;
    for (let column = 0; column < columns; column++) {
      const value = values[row * columns + column] ?? Number.NaN;
      if (Number.isNaN(value)) continue;
      const rgb = palette[Math.min(last, Math.max(0, Math.round((value - low) * per)))];
      if (!rgb) continue;
      const at = to + column * 4;
      pixels[at] = rgb[0];
      pixels[at + 1] = rgb[1];
      pixels[at + 2] = rgb[2];
      pixels[at + 3] = 255;
    }
  }
  return pixels;
}

/** Edges between evenly or unevenly spaced middles: half-way, and as far out at the ends. */
export function edges(middles: ArrayLike<number>): [first: number, last: number] {
  const n = middles.length;
  const at = (i: number) => middles[i] ?? Number.NaN;
  if (n === 0) return [0, 1];
  if (n === 1) return [at(0) - 0.5, at(0) + 0.5];
  return [at(0) - 0.5 * (at(1) - at(0)), at(n - 1) + 0.5 * (at(n - 1) - at(n - 2))];
}

/** Index of the middle nearest to a place, among rising middles. */
export function nearest(middles: ArrayLike<number>, place: number): number {
  let low = 0;
  let high = middles.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((middles[middle] ?? 0) <= place) low = middle;
    else high = middle;
  }
  const below = Math.abs((middles[low] ?? 0) - place);
  const above = Math.abs((middles[high] ?? 0) - place);
  return above < below ? high : low;
}

/** Head of a file of maps. */
export interface MapHeader {
  quantity: string;
  /** From slow air to fast. */
  columns: { name: string; area_share: number; air_share: number; rows: number; cols: number }[];
  /** Hours since 1970-01-01T00:00Z. */
  hours: number[];
  /** Edges of the layers above the floor when all grain is in, m: one more than rows. */
  depths_m: number[];
  /** Depth of the grain at each hour, m. */
  surface_m: number[];
  low: number | null;
  high: number | null;
}

/** Reads a file of maps: u32 length of a JSON header, the header, padding to four bytes, then little-endian f32.
 * `toDays` turns its hours into days of the site's standard time. Throws when it is shorter than it says. */
export function readMaps(
  file: ArrayBuffer,
  toDays: (hour: number) => number,
): { header: MapHeader; grids: Grid[] } {
  const view = new DataView(file);
  if (file.byteLength < 4) throw new RangeError("the map is empty");
  const length = view.getUint32(0, true);
  if (4 + length > file.byteLength) throw new RangeError("the map's header is cut short");
  const header = JSON.parse(new TextDecoder().decode(new Uint8Array(file, 4, length))) as MapHeader;
  let at = Math.ceil((4 + length) / 4) * 4;
  const days = Float64Array.from(header.hours, toDays);
  const edges = header.depths_m;
  const depths = Float64Array.from(edges.slice(1), (top, i) => 0.5 * (top + (edges[i] ?? top)));
  const grids = header.columns.map(({ name, rows, cols }) => {
    const count = rows * cols;
    if (at + 4 * count > file.byteLength) throw new RangeError(`the map of ${name} is cut short`);
    const values = new Float32Array(count);
    for (let i = 0; i < count; i++) values[i] = view.getFloat32(at + 4 * i, true);
    at += 4 * count;
    return { label: name, rows, columns: cols, values, depths, days };
  });
  return { header, grids };
}
