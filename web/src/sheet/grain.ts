/** The grain of a bin as layers to draw. */
import type { BinSurvey } from "../api/types";
import type { Column, GrainState } from "./model";

const NAMES: Record<number, string[]> = { 1: ["grain"], 3: ["slow", "middle", "fast"] };

/** Name of a column, from slow to fast. */
export function columnName(index: number, of: number): string {
  return NAMES[of]?.[index] ?? `column ${index + 1}`;
}

/** The grain as it was filled: each lot at its own moisture, level. */
export function asFilled(bin: BinSurvey): GrainState {
  let below = 0;
  const layers = bin.lots.map((lot) => {
    const layer = { thickness_m: Math.max(0, lot.depth_after_m - below), value: lot.moisture_wb };
    below = lot.depth_after_m;
    return layer;
  });
  const shares: [number, number][] = bin.drawing.columns.length > 0 ? bin.drawing.columns : [[1, 1]];
  const columns: Column[] = shares.map(([area], i) => ({ name: columnName(i, shares.length), area, layers }));
  const values = layers.map((layer) => layer.value);
  // A scale of fixed ends, so that a wetter lot looks wetter; widened for lots beyond them.
  const low = Math.min(0.1, ...values);
  const high = Math.max(0.3, ...values);
  return { quantity: "moisture", low, high, columns, when: "as filled" };
}
