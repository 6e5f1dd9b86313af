/** What the drawing needs to know beside the survey of the bin. */
import type { Phrase } from "../api/types";
import type { Coloured } from "../lib/colour";

/** One layer from the floor up. */
export interface Layer {
  thickness_m: number;
  value: number;
}

/** One column of grain, drawn as a ring of the bin from the axis to the wall in the order given. */
export interface Column {
  /** `slow`, `middle`, `fast`. */
  name: string;
  /** Share of the floor area; all shares together make 1. */
  area: number;
  layers: Layer[];
}

/** The grain coloured by what one asks. */
export interface GrainState {
  quantity: Coloured;
  /** Ends of the colour scale, in the unit kept. */
  low: number;
  high: number;
  columns: Column[];
  /** What it shows: "on 1 December 2009, 06:00", "as filled". */
  when: string;
}

export type Weight = "holds" | "attention" | "fails" | "plain";

/** A note in the margin: what holds, what does not, what to change. */
export interface MarginNote {
  weight: Weight;
  says: Phrase | string;
  /** Where to mend it. */
  href?: string;
  link?: string;
}

/** A measure that can be dragged on the drawing: grain depth. */
export interface DepthHandle {
  value_m: number;
  least_m: number;
  most_m: number;
  /** While it is dragged or stepped. */
  drag: (depth_m: number) => void;
  /** When it is let go. */
  settle: (depth_m: number) => void;
}

/** Rows of the title block. */
export interface TitleBlock {
  site: string;
  bin: string;
  lot: string;
  outfit: string;
  /** Names of the catalogue behind the outfit, in small print. */
  names: string;
  /** In words, "29 of 29 years good", or that it is not judged. */
  verdict: string;
  demo: boolean;
}
