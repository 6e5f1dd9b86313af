/** Shapes of answers that only these pages read: SI with the unit in the key. */
import type { Interval, ModelRange, Phrase, Proof, Said, YearLine } from "../api/types";

/** A sentence: in SI, and the parts it is made of. */
export interface Sentence {
  /** What it is about: `headline`, `goal`, `failures` and so on. */
  topic: string;
  text: string;
  says: Phrase;
}

/** A year as a line of mean moisture over the days from its first load. */
export type YearView = YearLine;

/** A relation behind the results, and whether its use lay inside the values it rests on. */
export interface SourceUse {
  what: string;
  citation: string;
  status: string;
  /** Null when no range is stated. */
  in_range: boolean | null;
  /** What was met outside, in SI. */
  outside: string[];
}

/** Mean moisture over the years on one day since the first load. */
export interface BandPoint {
  day: number;
  least_wb: number;
  tenth_wb: number;
  median_wb: number;
  ninetieth_wb: number;
  largest_wb: number;
}

/** All years of a bin, judged. */
export interface RiskView extends Proof {
  accuracy: "preview" | "verdict";
  interval: Interval | null;
  model_range: ModelRange | null;
  sentences: Sentence[];
  bands: BandPoint[];
  /** Empty in a preview, which has sent its years one by one. */
  lines: YearView[];
  left_out: { year: number; reason: string }[];
  remarks: Said[];
  sources: SourceUse[];
}

/** What an airflow asks at one depth. */
export interface Required {
  depth_m: number;
  grain_m3: number;
  airflow_m3_s: number;
  velocity_m_s: number;
  static_pressure_pa: number;
  grain_pressure_pa: number;
  floor_pressure_pa: number;
  air_power_w: number;
  shaft_power_estimate_w: number;
}

export interface FanChoice {
  fan: string;
  kind: string;
  count: number;
  motor_power_w: number;
  reaches: boolean;
  outcome: string;
  outcome_says: string;
  airflow_m3_s: number | null;
  specific_airflow_1_s: number | null;
  static_pressure_pa: number | null;
  input_power_w: number | null;
  deepest_m: number | null;
  overload: boolean;
  power_estimated: boolean;
}

/** The quick question's answer. */
export interface Sizing {
  crop: string;
  diameter_m: number;
  depth_m: number;
  grain_m3: number;
  grain_bu: number;
  specific_airflow_1_s: number;
  packing: number;
  pressure_pa: number;
  required: Required[];
  fans: FanChoice[];
  fans_that_reach: number;
  demo: boolean;
  remarks: Said[];
}
