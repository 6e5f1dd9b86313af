/** Shapes of the program's answers, SI with the unit in the key. Written by hand until the description of the API is
 * there to generate them from; then only the names stay, as aliases. */

/** A number in SI with what it measures, see `generated/units.json`. */
export interface Quantity {
  value: number;
  kind: string;
}

export type Filling = Quantity | number | string;

/** A sentence with blanks like `{depth}`, and what fills them. */
export interface Phrase {
  template: string;
  fillings: [string, Filling][];
}

/** A remark as a document says it. */
export interface Said {
  code: string;
  text: string;
  says: Phrase;
  source: { key?: string; place?: string } | null;
}

export interface Place {
  file: string;
  line?: number;
  column?: number;
  field?: string;
}

/** One thing wrong with an input. */
export interface Diagnostic {
  code: string;
  severity: "error" | "warning";
  found: string;
  allowed?: string;
  help?: string;
  at: Place;
  related?: [Place, string][];
}

/** `application/problem+json`. */
export interface Problem {
  type: string;
  title: string;
  status: number;
  detail?: string;
  diagnostics?: Diagnostic[];
}

export interface SiteRow {
  id: string;
  name: string;
  updated_at: string;
  seq: number;
  sha256: string;
  versions: number;
}

export interface Site {
  id: string;
  name: string;
  seq: number;
  sha256: string;
  text: string;
  updated_at: string;
  can_undo: boolean;
  can_redo: boolean;
  diagnostics?: Diagnostic[];
}

export interface Version {
  seq: number;
  sha256: string;
  at: string;
  note: string;
  bytes: number;
}

export interface Program {
  program: string;
  version: string;
  model: number;
  demo: boolean;
  needs_password: boolean;
  signed_in: boolean;
}

/** One value to put at one path, as a person writes it. */
export interface Change {
  path: string;
  value_text: string;
}

export interface Field {
  path: string;
  value_text: string;
  line: number;
}

export interface Lot {
  crop: string;
  moisture_wb: number;
  bulk_density_kg_m3: number;
  wet_mass_kg: number;
  dry_matter_kg: number;
  volume_m3: number;
  volume_bushels: number;
  legal_bushels_wet: number | null;
  legal_bushels_base: number | null;
  depth_after_m: number;
}

export interface FanPlace {
  id: string;
  kind: string;
  motor_power_w: number;
}

export interface BurnerPlace {
  id: string;
  /** `discharge` between fan and plenum, `inlet` at the fan's inlet. */
  side: string;
}

/** What a section shows besides the grain. Plenum and roof are usual forms, drawn only. */
export interface Drawing {
  plenum_m: number;
  roof_rise_m: number;
  floor: string;
  /** Fans draw air down through the grain. */
  suction: boolean;
  fans: FanPlace[];
  burner: BurnerPlace | null;
  vent_area_m2: number | null;
  /** From slow to fast air: share of the floor area, air over the mean. */
  columns: [number, number][];
}

export interface BinSurvey {
  bin: string;
  diameter_m: number;
  /** Height of the wall above the floor. */
  eave_m: number;
  floor_area_m2: number;
  volume_to_eave_m3: number;
  capacity_volume_bushels: number;
  cone_volume_m3: number | null;
  depth_m: number;
  wet_mass_kg: number;
  dry_matter_kg: number;
  water_to_remove_kg: number;
  relation: string;
  packing: number;
  fans: string[];
  demo: boolean;
  lots: Lot[];
  drawing: Drawing;
  years: number[];
  left_out: { year: number; reason: string }[];
}

export interface Survey {
  site: string;
  elevation_m: number;
  weather: string;
  typical_year: boolean;
  bins: BinSurvey[];
  remarks?: Said[];
}

export interface Fill {
  fill: number;
  depth_m: number;
  volume_bushels: number;
  outcome: "works" | "held-below-first" | "unstable" | "beyond-curve" | "off";
  airflow_m3_s: number;
  specific_airflow_1_s: number;
  specific_airflow_cfm_bu: number;
  velocity_m_s: number;
  static_pressure_pa: number;
  transition_pa: number;
  floor_pa: number;
  grain_pa: number;
  vents_pa: number;
  shaft_power_w: number;
  input_power_w: number;
  motor_load: number;
  fan_heat_k: number;
  unstable: boolean;
  overload: boolean;
  estimated_power: boolean;
  outside_resistance: boolean;
}

/** Airflow m³/s and pressure Pa. */
export type CurvePoint = [number, number];

export interface BinAir {
  bin: string;
  crop: string;
  fans: string[];
  packing: number;
  ambient_c: number;
  ambient_relative_humidity: number;
  pressure_pa: number;
  bulk_density_kg_m3: number;
  fills: Fill[];
  demo: boolean;
  curves?: {
    fan: { label: string; stable: CurvePoint[]; unstable: CurvePoint[] };
    systems: { label: string; fill: number; points: CurvePoint[] }[];
  };
  remarks?: Said[];
}

export type Outcome = "met" | "held" | "failed";

/** One weather year as it finishes. */
export interface YearLine {
  year: number;
  outcome: Outcome;
  cause: string | null;
  /** When the mean moisture was on target. */
  finished_at: string | null;
  stopped_at: string | null;
  days_to_target: number | null;
  mean_moisture_wb: number;
  wettest_moisture_wb: number;
  life_used: number | null;
  /** Days from the first load, mean moisture. */
  line: [number, number][];
}

export interface Interval {
  low: number;
  high: number;
  level: number;
  method: string;
}

export interface ModelRange {
  low: number;
  high: number;
  base: RangeEntry;
  entries: RangeEntry[];
  worst: RangeEntry | null;
  layers: number;
}

export interface RangeEntry {
  name: string;
  kind: string;
  met: number;
  held: number;
  failed: number;
  probability: number;
}

/** The proof over all years; the years' own documents stand in `years`. */
export interface Proof {
  accuracy?: "preview" | "verdict";
  bin: string;
  crop: string;
  run: string;
  met: number;
  held: number;
  failed: number;
  of: number;
  probability: number | null;
  wanted: number;
  goal_reached: boolean;
  interval: Interval | null;
  model_range: ModelRange | null;
  partial: boolean;
  [further: string]: unknown;
}
