/** Names of the shapes of the program's answers, SI with the unit in the key. The shapes come from its description of itself
 * (`generated/api.ts`); what that cannot say (pairs, words of a closed list) is narrowed here. */
import type { components } from "../generated/api";

export type Shapes = components["schemas"];

/** The program writes null where there is nothing; its description calls such a key one that may be missing. */
export type Whole<T> = T extends object ? { [K in keyof T]-?: Whole<Exclude<T[K], undefined>> } : T;

/** A shape with some keys said more closely. */
export type Narrow<T, N> = Omit<T, keyof N> & N;

/** A number in SI with what it measures, see `generated/units.json`. */
export interface Quantity {
  value: number;
  kind: string;
}

/** A text that depends on the reader's units. */
export interface Either {
  us: string;
  si: string;
}

export type Filling = Quantity | Either | number | string;

/** A sentence with blanks like `{depth}`, and what fills them. */
export interface Phrase {
  template: string;
  fillings: [string, Filling][];
}

/** A remark as a document says it. */
export type Said = Narrow<Whole<Shapes["Said"]>, { says: Phrase }>;

export interface Place {
  file: string;
  line?: number;
  column?: number;
  field?: string;
}

/** One thing wrong with an input. Keys that say nothing are left out. */
export interface Diagnostic {
  code: string;
  severity: Shapes["Severity"];
  found: string;
  allowed?: string;
  help?: string;
  at: Place;
  related?: [Place, string][];
}

/** `application/problem+json`; made by the page itself when nothing answers. */
export interface Problem {
  type: string;
  title: string;
  status: number;
  detail?: string;
  diagnostics?: Diagnostic[];
}

export type SiteRow = Shapes["SiteLineJson"];
export type Site = Narrow<Shapes["SiteJson"], { diagnostics: Diagnostic[] }>;
export type Version = Whole<Shapes["VersionJson"]>;
export type Program = Shapes["ProgramJson"];

/** One value to put at one path, as a person writes it; an empty one takes away. */
export type Change = Shapes["ChangeJson"];
export type Field = Shapes["FieldJson"];
export type Lot = Whole<Shapes["LotJson"]>;
export type FanPlace = Shapes["FanPlaceJson"];
export type BurnerPlace = Shapes["BurnerPlaceJson"];
export type TankPlace = Shapes["TankPlaceJson"];
export type WeatherRecord = Whole<Shapes["WeatherJson"]>;

/** What a section shows besides the grain. `columns` from slow to fast air: share of the floor area, air over the mean. */
export type Drawing = Narrow<Whole<Shapes["DrawingJson"]>, { columns: [number, number][] }>;
export type BinSurvey = Narrow<Whole<Shapes["BinSurveyJson"]>, { drawing: Drawing }>;
export type Survey = Narrow<Whole<Shapes["SurveyJson"]>, { bins: BinSurvey[] }> & { remarks?: Said[] };

export type FillOutcome = "works" | "held-below-first" | "unstable" | "beyond-curve" | "off";
export type Fill = Narrow<Whole<Shapes["FillJson"]>, { outcome: FillOutcome }>;

/** Airflow m³/s and pressure Pa. */
export type CurvePoint = [number, number];

export interface Curves {
  fan: { label: string; stable: CurvePoint[]; unstable: CurvePoint[] };
  systems: { label: string; fill: number; points: CurvePoint[] }[];
}

export type BinAir = Narrow<Whole<Shapes["AirJson"]>, { fills: Fill[] }> & {
  curves?: Curves;
  remarks?: Said[];
};

export type Outcome = "met" | "held" | "failed";

/** One weather year as it finishes; `line` in days from the first load and mean moisture. */
export type YearLine = Narrow<Whole<Shapes["YearView"]>, { outcome: Outcome; line: [number, number][] }>;

export type Interval = Shapes["IntervalJson"];
export type RangeEntry = Shapes["EntryJson"];
export type ModelRange = Whole<Shapes["ModelRangeJson"]>;

/** The proof over all years; the years' own documents stand in `years`. */
export type Proof = Narrow<
  Whole<Omit<Shapes["ProofJson"], "further_bins" | "sources" | "years">>,
  { interval: Interval | null; model_range: ModelRange | null }
> & { accuracy?: "preview" | "verdict" };

export type CatalogueFan = Whole<Shapes["FanJson"]>;
export type CatalogueBurner = Whole<Shapes["BurnerJson"]>;
/** Fans and burners that a site may name. */
export interface Catalogue {
  fans: CatalogueFan[];
  burners: CatalogueBurner[];
}
