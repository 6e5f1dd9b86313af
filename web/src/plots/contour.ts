/** Where a field crosses a level: marching squares over cell middles, as line pieces. */

/** One piece: from (x, y) to (x, y), in cell middles: 0 is the middle of the first cell. */
export type Piece = [number, number, number, number];

/** Pieces of the line at `level` through `rows` × `columns` values, row by row. Squares with a missing corner have none. */
export function contour(values: ArrayLike<number>, rows: number, columns: number, level: number): Piece[] {
  const pieces: Piece[] = [];
  for (let row = 0; row + 1 < rows; row++) {
    for (let column = 0; column + 1 < columns; column++) {
      const at = row * columns + column;
      square(
        [values[at], values[at + 1], values[at + columns + 1], values[at + columns]] as Corners,
        level,
        column,
        row,
        pieces,
      );
    }
  }
  return pieces;
}

/** Corners in turn: here, next column, next row and column, next row. */
type Corners = [number, number, number, number];

function square(corners: Corners, level: number, x: number, y: number, pieces: Piece[]): void {
  const [a, b, c, d] = corners;
  if (Number.isNaN(a) || Number.isNaN(b) || Number.isNaN(c) || Number.isNaN(d)) return;
  const above = (a > level ? 1 : 0) + (b > level ? 2 : 0) + (c > level ? 4 : 0) + (d > level ? 8 : 0);
  if (above === 0 || above === 15) return;
  const crossings: [number, number][] = [];
  const cross = (from: number, to: number) => (level - from) / (to - from);
  if (a > level !== b > level) crossings.push([x + cross(a, b), y]);
  if (b > level !== c > level) crossings.push([x + 1, y + cross(b, c)]);
  if (d > level !== c > level) crossings.push([x + cross(d, c), y + 1]);
  if (a > level !== d > level) crossings.push([x, y + cross(a, d)]);
  const [p, q, r, s] = crossings;
  if (p && q) pieces.push([...p, ...q]);
  // A saddle: two pieces; which corners belong together is a matter of taste at this resolution.
  if (r && s) pieces.push([...r, ...s]);
}
