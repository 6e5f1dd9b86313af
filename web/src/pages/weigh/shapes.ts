/** Answers of a weighing. */
import type { Narrow, Said, Shapes, Whole } from "../../api/types";
import type { Sentence as Topical } from "../shapes";

type Sentence = Omit<Topical, "topic">;

export type Excluded = Narrow<Whole<Shapes["ExcludedJson"]>, { reason: Sentence }>;
export type Sorted = Narrow<Whole<Shapes["SortedJson"]>, { excluded: Excluded[] }>;
export type RacePoint = Whole<Shapes["RacePointJson"]>;
export type Stands = Whole<Shapes["StandsJson"]>;
export type OutfitYear = Whole<Shapes["OutfitYearJson"]>;
export type CostLine = Narrow<Whole<Shapes["CostLineJson"]>, { how: Sentence }>;
export type Outfit = Narrow<
  Whole<Shapes["OutfitJson"]>,
  { why: Sentence; lines: CostLine[]; years: OutfitYear[] }
>;
export type Break = Narrow<Whole<Shapes["BreakJson"]>, { says: Sentence }>;
export type Matters = Narrow<Whole<Shapes["MattersJson"]>, { breaks: Break[] }>;
export type Weighing = Narrow<
  Whole<Omit<Shapes["WeighJson"], "further_bins">>,
  { says: Sentence; excluded: Excluded[]; outfits: Outfit[]; matters: Matters | null }
> & { remarks?: Said[] };
export type Limit = Whole<Omit<Shapes["LimitJson"], "further_bins">>;
