/** Where the parts of the section stand on the sheet, in units of the screen. One scale across and up. */
import type { BinSurvey } from "../api/types";

export interface Layout {
  width: number;
  height: number;
  /** Screen units a metre. */
  scale: number;
  /** Metres from the axis. */
  x: (metres: number) => number;
  /** Metres above the ground. */
  y: (metres: number) => number;
  radius: number;
  /** Heights above the ground, m. */
  floor: number;
  eave: number;
  top: number;
}

/** Room for fans at the left, dimensions at the right, vents above, ground and scale below. */
const LEFT = { wide: 112, narrow: 84 };
const RIGHT = { wide: 84, narrow: 66 };
const ABOVE = 34;
const BELOW = 74;
const TALLEST = 520;

/** The layout for a width; null when the measures make no drawing. */
export function layout(bin: BinSurvey, width: number): Layout | null {
  const { plenum_m: floor, roof_rise_m: rise } = bin.drawing;
  const measures = [bin.diameter_m, bin.eave_m];
  if (!measures.every((measure) => Number.isFinite(measure) && measure > 1e-3 && measure < 1e4)) return null;
  const size = width < 430 ? "narrow" : "wide";
  const [left, right] = [LEFT[size], RIGHT[size]];
  const eave = floor + bin.eave_m;
  const top = eave + Math.min(Math.max(0, rise), bin.diameter_m);
  const scale = Math.min((width - left - right) / bin.diameter_m, (TALLEST - ABOVE - BELOW) / top);
  if (!(scale > 0)) return null;
  const height = top * scale + ABOVE + BELOW;
  const spare = width - left - right - bin.diameter_m * scale;
  const axis = left + spare / 2 + (bin.diameter_m * scale) / 2;
  const ground = height - BELOW;
  return {
    width,
    height,
    scale,
    x: (metres) => axis + metres * scale,
    y: (metres) => ground - metres * scale,
    radius: bin.diameter_m / 2,
    floor,
    eave,
    top,
  };
}

/** One bar of a layer of a ring, on both sides of the axis. */
export interface Bar {
  x: number;
  y: number;
  width: number;
  height: number;
  value: number;
}

/** One column as a ring: where it begins and ends, and how deep it is, m. */
export interface Ring {
  name: string;
  inside: number;
  outside: number;
  depth: number;
  bars: Bar[];
}

/** The columns as rings from the axis to the wall, layers as bars. */
export function rings(
  columns: { name: string; area: number; layers: { thickness_m: number; value: number }[] }[],
  at: Layout,
): Ring[] {
  const whole = columns.reduce((sum, column) => sum + column.area, 0) || 1;
  let inside = 0;
  let area = 0;
  return columns.map((column) => {
    area += column.area;
    const outside = at.radius * Math.sqrt(Math.min(1, area / whole));
    const bars: Bar[] = [];
    let depth = 0;
    for (const { thickness_m, value } of column.layers) {
      if (!(thickness_m > 0)) continue;
      const bottom = at.floor + depth;
      depth += thickness_m;
      // The innermost ring is one bar across the axis. An overlap upwards leaves no paper between layers.
      const sides =
        inside === 0
          ? [[-outside, outside]]
          : [
              [-outside, -inside],
              [inside, outside],
            ];
      for (const [from = 0, to = 0] of sides) {
        bars.push({
          x: at.x(from),
          y: at.y(bottom + thickness_m) - 0.6,
          width: at.x(to) - at.x(from),
          height: thickness_m * at.scale + 0.6,
          value,
        });
      }
    }
    const ring = { name: column.name, inside, outside, depth, bars };
    inside = outside;
    return ring;
  });
}

/** A round length of about a sixth of the diameter for the scale bar, in the unit shown. */
export function roundLength(about: number): number {
  const decade = 10 ** Math.floor(Math.log10(about));
  return [1, 2, 5, 10].map((step) => step * decade).find((step) => step >= about * 0.75) ?? decade;
}

/** Where fan and burner stand beside the wall, in units of the screen. They are signs, not drawn to scale. */
export interface Places {
  /** Half the fan's height. */
  size: number;
  fan: readonly [number, number];
  /** Edge of the burner's box. */
  box: number;
  burner: readonly [number, number];
  /** Middle of the gas tank, and its length. */
  tank: readonly [number, number];
  tankLength: number;
  /** Height of the duct and of its axis. */
  duct: number;
  axis: number;
}

/** The places for a burner on the `discharge` or `inlet` side of the fan, or none. */
export function places(at: Layout, side: string | null): Places {
  const narrow = at.width < 430;
  const [wall, ground] = [at.x(-at.radius), at.y(0)];
  const size = narrow ? 12 : 15;
  const box = narrow ? 14 : 18;
  const duct = Math.max(7, Math.min(ground - at.y(at.floor), 20) * 0.8);
  const axis = ground - duct / 2 - 1;
  const fan = [
    wall - (side === "discharge" ? 22 + box : 18) - size,
    Math.min(axis, ground - size - 3),
  ] as const;
  const burner =
    side === "discharge"
      ? ([wall - 12 - box / 2, axis] as const)
      : ([fan[0] - size - 8 - box / 2, fan[1]] as const);
  const leftmost = Math.min(fan[0] - size, burner[0] - box / 2);
  const tankLength = Math.max(20, Math.min(narrow ? 30 : 46, leftmost - 30));
  // Above the machines: beside them there is no room on a phone.
  const tank = [Math.max(tankLength / 2 + 4, leftmost - tankLength / 2 - 4), fan[1] - 2.6 * size] as const;
  return { size, fan, box, burner, tank, tankLength, duct, axis };
}
