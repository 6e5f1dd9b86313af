/** What the pages read of answers beside `types.ts` is there: each of their shapes is one that the program's description fits.
 * Nothing here runs; the check of types fails when the program no longer gives what a page reads. */

import type { Crop } from "../forms/choices";
import type { Daily, Summary } from "../pages/season/shapes";
import type { BandPoint, Sentence, Sizing } from "../pages/shapes";
import type { Shapes, Whole } from "./types";

/** `Given` has everything that `Read` reads. */
type Fits<Read, Given extends Read> = [Read, Given];

/** Words of closed lists are plain text in the description. */
type Loose<T> = { [K in keyof T]: T[K] extends string | null ? string | null : T[K] };

export type Agreed = [
  Fits<Omit<Sentence, "says">, Omit<Shapes["VerdictSentence"], "says">>,
  Fits<BandPoint, Shapes["BandPoint"]>,
  Fits<Crop, Shapes["CropRow"]>,
  Fits<Omit<Sizing, "remarks">, Omit<Whole<Shapes["Sizing"]>, "remarks">>,
  Fits<Loose<Summary>, Whole<Shapes["Summary"]>>,
  Fits<Loose<Daily>, Whole<Shapes["DailyJson"]>>,
];
