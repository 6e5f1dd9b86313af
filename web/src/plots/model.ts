/** What a plot of lines, bands and marks shows, as plain data: numbers in SI with their kind, and text. */

/** Colours by what they mean; the tokens of the page say how they look. */
export type Ink = "ink" | "soft" | "blue" | "rust" | "good" | "held" | "bad" | "grid";

/** Shapes; met, held and failed differ by shape as well as by colour. */
export type Mark = "met" | "held" | "failed" | "dot" | "ring";

export interface Look {
  ink: Ink;
  width?: number;
  dash?: readonly number[];
}

/** A place in SI. */
export type Point = readonly [x: number, y: number];

/** An axis. `date` counts days from 1970-01-01; `day-and-month` the same without telling the year; `plain` are bare
 * numbers such as years; others are kinds of the unit table. */
export interface Scale {
  label: string;
  kind: string;
  /** Ends to be seen whatever the data say, SI. */
  low?: number;
  high?: number;
  /** Ends just where `low` and `high` say. */
  tight?: boolean;
}

/** One row of what is read off. */
export interface Row {
  label: string;
  value: string;
  look?: Look;
  mark?: Mark;
}

export interface Line {
  id: string;
  label: string;
  points: readonly Point[];
  look: Look;
  /** Shape at the last point. */
  end?: Mark;
  /** Written at the last point. */
  named?: boolean;
  /** Further rows when this line is read. */
  rows?: readonly Row[];
}

export interface Band {
  label: string;
  x: readonly number[];
  low: readonly number[];
  high: readonly number[];
}

/** A straight line over the whole plot, such as a target or a last day. */
export interface Rule {
  along: "x" | "y";
  at: number;
  label: string;
  ink?: Ink;
}

export interface Dot {
  id: string;
  x: number;
  y: number;
  mark: Mark;
  ink: Ink;
  label: string;
  /** Written beside it. */
  named?: boolean;
  rows?: readonly Row[];
}

/** An area between a line and the axis below that is not to be used. */
export interface Hatch {
  label: string;
  points: readonly Point[];
}

/** One entry of the key: a line with its mark, or an area. */
export interface KeyEntry {
  label: string;
  look: Look;
  mark?: Mark;
  area?: "band" | "hatch";
}

export interface PlotModel {
  x: Scale;
  y: Scale;
  lines?: readonly Line[];
  bands?: readonly Band[];
  rules?: readonly Rule[];
  dots?: readonly Dot[];
  hatches?: readonly Hatch[];
  /** What lines and areas mean, written under the title; left out, the lines that are read together. */
  keys?: readonly KeyEntry[];
  /** `all`: every line is read at one place; `nearest`: the line nearest to the hand. */
  reads?: "all" | "nearest";
}

/** A table: what a plot shows, to be read and copied. */
export interface TableModel {
  head: readonly { label: string; number?: boolean }[];
  rows: readonly (readonly string[])[];
  /** What was left out for length. */
  note?: string;
}

/** How met, held and failed look: never by colour alone. */
export const OUTCOMES = {
  met: { ink: "good", mark: "met", word: "met", dash: [] },
  held: { ink: "held", mark: "held", word: "held over winter", dash: [7, 3] },
  failed: { ink: "bad", mark: "failed", word: "failed", dash: [2, 3] },
} as const satisfies Record<string, { ink: Ink; mark: Mark; word: string; dash: readonly number[] }>;
