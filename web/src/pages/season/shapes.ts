/** A season as the program answers it: SI with the unit in the key. */
import type { Outcome, Said } from "../../api/types";
import type { SourceUse } from "../shapes";

export interface Summary {
  outcome: Outcome | null;
  cause: string | null;
  cause_says: string | null;
  finished_at: string | null;
  days_to_target: number | null;
  stopped_at: string | null;
  suspended_at: string | null;
  cooled_at: string | null;
  mean_moisture_wb: number;
  wettest_moisture_wb: number;
  driest_moisture_wb: number;
  end_moisture_wb: number;
  storage_life_used: number | null;
  storage_life_used_published: number | null;
  fan_hours: number | null;
  drying_fan_hours: number | null;
  fan_energy_j: number | null;
  burner_energy_j: number | null;
  fuel_kg: number | null;
  energy_cost: { amount: number; currency: string } | null;
  water_removed_kg: number | null;
}

export interface Daily {
  at: string;
  mean_moisture_wb: number;
  wettest_moisture_wb: number;
  driest_moisture_wb: number;
  mean_temperature_c: number;
  coldest_c: number;
  warmest_c: number;
  storage_life_used: number;
  storage_life_used_published: number;
  fan_hours: number;
  fan_energy_j: number;
  burner_energy_j: number;
  ambient_c: number;
  phase: "filling" | "drying" | "cooling" | "holding";
}

export interface Hourly {
  at: string;
  ambient_c: number;
  ambient_relative_humidity: number;
  plenum_c: number;
  plenum_relative_humidity: number;
  exhaust_c: number;
  fans: number;
  dry_air_flow_kg_s: number;
  plenum_pressure_pa: number;
  burner_rise_k: number;
}

export interface SeasonView {
  accuracy: "preview" | "verdict";
  bin: string;
  crop: string;
  year: number;
  layers: number;
  run: string;
  started_at: string;
  ended_at: string;
  summary: Summary;
  columns: { area_share: number; air_share: number; summary: Summary }[];
  daily: Daily[];
  hourly: Hourly[];
  said: Said[];
  sources: SourceUse[];
  /** Addresses of the maps. */
  maps: { moisture: string; temperature: string; life: string };
}
