/** The heat of a bin as plots, tables and summaries. */
import { axis, display, inUnit, localNumber } from "../../lib/quantity";
import type { UnitSystem } from "../../lib/settings.svelte";
import type { Line, PlotModel, TableModel } from "../../plots/model";
import type { BinHeat, BinPower, Duty, Firing, FiringRow } from "./shapes";
import { firing as firingWords, sharing, stand } from "./words";

const share = (of: number) => `${localNumber(100 * of, 0)} %`;
const DAY = 86_400_000;
/** A common year, so that days of the year have a place on a date axis. */
const COMMON = Date.UTC(2001, 0, 1) / DAY;
const WEEK = 7;

/** Heat wanted, week by week, against what is installed. `first` is the day of the year of the first load, null when unknown. */
export function dutyModel(duty: Duty, first: number | null, before: Duty | null): PlotModel {
  const place = (day: number) => (first === null ? day : COMMON + first + day) + WEEK / 2;
  const weeks = duty.weeks;
  const line = (id: string, label: string, pick: (week: Duty["weeks"][number]) => number): Line => ({
    id,
    label,
    points: weeks.map((week) => [place(week.day), pick(week)]),
    look: { ink: "blue", width: id === "mean" ? 2.6 : 1.4, dash: id === "largest" ? [3, 3] : [] },
  });
  return {
    x:
      first === null
        ? { label: "since the first load", kind: "days", low: 0 }
        : { label: "weeks from the first load", kind: "day-and-month" },
    y: { label: "heat to the air", kind: "heat-rate", low: 0 },
    bands: [
      {
        label: "nine hours in ten want no more",
        x: weeks.map((week) => place(week.day)),
        low: weeks.map(() => 0),
        high: weeks.map((week) => week.ninetieth_w),
      },
    ],
    lines: [
      line("largest", "the hardest hour of all years", (week) => week.largest_w),
      line("ninetieth", "nine hours in ten want no more", (week) => week.ninetieth_w),
      line("mean", "mean of the week", (week) => week.mean_w),
    ],
    rules: [
      { along: "x", at: duty.installed_w, label: "installed", ink: "rust" },
      ...(before && Math.abs(before.installed_w - duty.installed_w) > 1
        ? [{ along: "x" as const, at: before.installed_w, label: "as kept", ink: "soft" as const }]
        : []),
    ],
    keys: [
      { label: "mean of the week", look: { ink: "blue", width: 2.6 } },
      { label: "nine hours in ten want no more", look: { ink: "blue" }, area: "band" },
      { label: "the hardest hour of all years", look: { ink: "blue", dash: [3, 3] } },
      { label: "installed", look: { ink: "rust", dash: [9, 3, 2, 3] } },
    ],
  };
}

export function dutySummary(duty: Duty, system: UnitSystem): string {
  const { design } = duty;
  const of = duty.years.reduce((sum, year) => sum + year.hours, 0);
  const short = duty.years.reduce((sum, year) => sum + year.short_hours, 0);
  const heat = (watts: number) => display(watts, "heat-rate", system);
  const count = (hours: number) => localNumber(hours, 0);
  return (
    `In the design hour (${localNumber(100 * design.share, 0)} of 100 hours ask for no more; ` +
    `${display(design.hour.outside_c, "temperature", system)} outside) the air takes ${heat(design.hour.heat_w)}; ` +
    `${heat(duty.installed_w)} are installed. ` +
    (short === 0
      ? `The burner is never short in the ${count(of)} hours of all years.`
      : `The burner is short in ${count(short)} of the ${count(of)} hours of all years.`)
  );
}

export function weekTable(duty: Duty, system: UnitSystem): TableModel {
  const heat = (watts: number) => localNumber(inUnit(watts, "heat-rate", system), system === "us" ? 0 : 1);
  const head = (name: string) => ({ label: axis(name, "heat-rate", system), number: true });
  return {
    head: [
      { label: "Days from the first load", number: true },
      { label: axis("outside, mean", "temperature", system), number: true },
      head("mean"),
      head("nine hours in ten at most"),
      head("hardest hour"),
    ],
    rows: duty.weeks.map((week) => [
      `${localNumber(week.day, 0)} to ${localNumber(week.day + WEEK, 0)}`,
      localNumber(inUnit(week.outside_c, "temperature", system), 1),
      heat(week.mean_w),
      heat(week.ninetieth_w),
      heat(week.largest_w),
    ]),
    note:
      "With all lots in and all fans running in every hour from the first load to the day of the goal: " +
      "a season uses less, for fans rest and grain gets dry.",
  };
}

/** What a year burns, by year. */
export function yearsModel(duty: Duty, system: UnitSystem): PlotModel {
  return {
    x: { label: "year", kind: "plain" },
    y: { label: "heat, all hours of a season", kind: "heat", low: 0 },
    reads: "nearest",
    dots: duty.years.map((year) => ({
      id: String(year.year),
      x: year.year,
      y: year.burner_energy_j,
      mark: year.short_hours > 0 ? ("held" as const) : ("met" as const),
      ink: year.short_hours > 0 ? ("held" as const) : ("blue" as const),
      label: String(year.year),
      rows: [
        { label: "heat", value: display(year.burner_energy_j, "heat", system) },
        ...(year.fuel_kg > 0 ? [{ label: "fuel", value: display(year.fuel_kg, "mass", system) }] : []),
        {
          label: "heat wanted",
          value: `${localNumber(year.lit_hours, 0)} of ${localNumber(year.hours, 0)} h`,
        },
        { label: "burner short", value: `${localNumber(year.short_hours, 0)} h` },
      ],
    })),
    keys: [
      { label: "the burner meets every hour", look: { ink: "blue" }, mark: "met" },
      { label: "it is short in some", look: { ink: "held" }, mark: "held" },
    ],
  };
}

export function yearsSummary(duty: Duty): string {
  const most = duty.years.reduce<Duty["years"][number] | null>(
    (a, b) => (a && a.short_hours >= b.short_hours ? a : b),
    null,
  );
  const short = duty.years.filter((year) => year.short_hours > 0).length;
  if (!most || short === 0) return `The burner meets every hour of all ${duty.years.length} years.`;
  return (
    `The burner is short in some hours of ${short} of ${duty.years.length} years, most in ${most.year}: ` +
    `${localNumber(most.short_hours, 0)} hours.`
  );
}

export function yearsTable(duty: Duty, system: UnitSystem): TableModel {
  const number = true;
  return {
    head: [
      { label: "Year" },
      { label: "heat wanted, h", number },
      { label: "burner short, h", number },
      { label: axis("mean heat", "heat-rate", system), number },
      { label: axis("hardest hour", "heat-rate", system), number },
      { label: axis("heat given", "heat", system), number },
      { label: axis("fuel", "mass", system), number },
    ],
    rows: duty.years.map((year) => [
      String(year.year),
      localNumber(year.lit_hours, 0),
      localNumber(year.short_hours, 0),
      localNumber(inUnit(year.mean_w, "heat-rate", system), 0),
      localNumber(inUnit(year.peak_w, "heat-rate", system), 0),
      localNumber(inUnit(year.burner_energy_j, "heat", system), 0),
      localNumber(inUnit(year.fuel_kg, "mass", system), system === "us" ? 0 : 2),
    ]),
  };
}

/** Ends of the temperature scale on which ways of firing are compared. */
export function swingEnds(rows: readonly FiringRow[]): [number, number] {
  const all = rows.flatMap((row) => [row.peak_c, row.trough_c, row.unheated_c + row.wanted_k]);
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const edge = Math.max(0.5, 0.08 * (high - low));
  return [low - edge, high + edge];
}

export function swingSummary(firing: Firing, system: UnitSystem): string {
  const usual = firing.rows.filter((row) => row.load === "usual");
  const own = usual.find((row) => row.own);
  const widest = usual.reduce<FiringRow | null>((a, b) => (a && a.swing_k >= b.swing_k ? a : b), null);
  if (!own || !widest) return "No hour wants heat.";
  const by = (row: FiringRow) => display(row.swing_k, "temperature-difference", system);
  const swings =
    own.swing_k < 0.05
      ? "holds the plenum without a swing"
      : `swings the plenum by ${by(own)}, with ${localNumber(own.starts_per_hour, 0)} starts an hour`;
  const against =
    widest === own ? "" : `; ${firingWords(widest).toLowerCase()} it would swing by ${by(widest)}`;
  return `In the usual hour the burner as it is (${firingWords(own).toLowerCase()}) ${swings}${against}. Energy follows the mean, the grain at the floor and the limit meet the highest.`;
}

export function swingTable(firing: Firing, system: UnitSystem): TableModel {
  const number = true;
  const degrees = (value: number) => localNumber(inUnit(value, "temperature", system), 1);
  const heads = ["mean", "lowest", "highest"].map((name) => ({
    label: axis(name, "temperature", system),
    number,
  }));
  return {
    head: [
      { label: "Firing" },
      { label: "Hour" },
      ...heads,
      { label: axis("swing", "temperature-difference", system), number },
      { label: "burning, %", number },
      { label: "starts an hour", number },
    ],
    rows: firing.rows.map((row) => [
      `${firingWords(row)}${row.own ? " (as it is)" : ""}`,
      row.load,
      degrees(row.mean_c),
      degrees(row.trough_c),
      degrees(row.peak_c),
      localNumber(inUnit(row.swing_k, "temperature-difference", system), 1),
      localNumber(100 * row.duty, 0),
      localNumber(row.starts_per_hour, 0),
    ]),
    note:
      `Dead band ${display(firing.dead_band_k, "temperature-difference", system)}, ` +
      `${localNumber(firing.ignition_s, 0)} s from the call until it burns, ` +
      `${display(firing.steel_kg, "mass", system)} of steel between flame and thermostat. The usual hour is the one with ` +
      "the mean heat of all that want some.",
  };
}

/** Several burners in one hour, or nothing. */
export function sharedTable(firing: Firing, system: UnitSystem): TableModel | null {
  if (firing.shared.length === 0) return null;
  const number = true;
  const degrees = (value: number) => localNumber(inUnit(value, "temperature", system), 1);
  return {
    head: [
      { label: `The ${firing.burners} burners` },
      { label: "Hour" },
      { label: axis("lowest", "temperature", system), number },
      { label: axis("highest", "temperature", system), number },
      { label: axis("inlets apart by", "temperature-difference", system), number },
      { label: "one burns, another not, %", number },
    ],
    rows: firing.shared.map((row) => [
      `${sharing(row.sharing)}${row.own ? " (as it is)" : ""}`,
      row.load,
      degrees(row.trough_c),
      degrees(row.peak_c),
      localNumber(inUnit(row.apart_k, "temperature-difference", system), 1),
      localNumber(100 * row.uneven, 0),
    ]),
  };
}

export function placeTable(heat: BinHeat, system: UnitSystem): TableModel {
  const number = true;
  const us = system === "us";
  return {
    head: [
      { label: "Burner" },
      { label: axis("airflow at the inlets", "airflow", system), number },
      { label: axis("static pressure", "pressure", system), number },
      { label: "motor load, %", number },
      { label: axis("heat", "heat-rate", system), number },
      { label: axis("plenum", "temperature", system), number },
      { label: "plenum, % RH", number },
      { label: axis("water it can take up", "mass-flow", system), number },
    ],
    rows: heat.place.map((row) => [
      `${stand(row.side)}${row.side === heat.burner?.side ? " (as it is)" : ""}`,
      localNumber(inUnit(row.airflow_m3_s, "airflow", system), 0),
      localNumber(inUnit(row.static_pressure_pa, "pressure", system), us ? 2 : 0),
      localNumber(100 * row.motor_load, 0),
      localNumber(inUnit(row.heat_w, "heat-rate", system), us ? 0 : 1),
      localNumber(inUnit(row.plenum_c, "temperature", system), 1),
      localNumber(100 * row.plenum_relative_humidity, 0),
      localNumber(inUnit(row.drying_kg_s, "mass-flow", system), us ? 0 : 1),
    ]),
    note:
      "The design hour with the same rise. Before the fan the air is hot and thin, and motor and bearings run in it. Water " +
      "is what the air can take up until it leaves in equilibrium with grain as wet as filled.",
  };
}

/** Motor load against the outdoor temperature. */
export function loadModel(power: BinPower, before: BinPower | null, system: UnitSystem): PlotModel {
  const points = (of: BinPower) => of.by_temperature.map((at) => [at.ambient_c, at.motor_load] as const);
  const factor = Math.min(...power.motors.map((motor) => motor.service_factor));
  return {
    x: { label: "outside", kind: "temperature" },
    y: { label: "most loaded motor, of its rating", kind: "fraction", low: 0.5, high: 1.1 },
    lines: [
      ...(before
        ? [
            {
              id: "before",
              label: "as kept",
              points: points(before),
              look: { ink: "grid" as const, width: 3 },
            },
          ]
        : []),
      { id: "load", label: "motor load", points: points(power), look: { ink: "blue", width: 2.4 } },
    ],
    dots: power.by_temperature.map((at) => ({
      id: `at-${at.ambient_c}`,
      x: at.ambient_c,
      y: at.motor_load,
      mark:
        at.motor_load > factor
          ? ("failed" as const)
          : at.motor_load > 1
            ? ("held" as const)
            : ("met" as const),
      ink:
        at.motor_load > factor ? ("bad" as const) : at.motor_load > 1 ? ("held" as const) : ("blue" as const),
      label: display(at.ambient_c, "temperature", system),
      rows: [
        { label: "motor at", value: `${share(at.motor_load)} of its rating` },
        { label: "shafts", value: display(at.shaft_power_w, "shaft-power", system) },
        { label: "power drawn", value: display(at.input_power_w, "electric-power", system) },
        ...(at.running_a === null
          ? []
          : [{ label: "running", value: display(at.running_a, "current", system) }]),
      ],
    })),
    rules: [
      { along: "x", at: 1, label: "rating" },
      ...(Number.isFinite(factor) && factor > 1
        ? [{ along: "x" as const, at: factor, label: "rating and service factor", ink: "bad" as const }]
        : []),
    ],
    keys: [],
  };
}

export function loadSummary(power: BinPower, system: UnitSystem): string {
  const hardest = power.motors.reduce<BinPower["motors"][number] | null>(
    (a, b) => (a && a.most.motor_load >= b.most.motor_load ? a : b),
    null,
  );
  if (!hardest) return "No motors.";
  const over =
    hardest.hours_above_service_factor > 0
      ? `beyond rating and service factor in ${localNumber(hardest.hours_above_service_factor, 0)}`
      : hardest.hours_above_rating > 0
        ? `above its rating, within its service factor, in ${localNumber(hardest.hours_above_rating, 0)}`
        : "within its rating in all";
  return (
    `Cold air is dense and loads the motor. In the hardest hour, ${display(hardest.most.ambient_c, "temperature", system)} ` +
    `outside, it runs at ${share(hardest.most.motor_load)} of its rating: ${over} of ` +
    `${localNumber(power.hours, 0)} hours of all years.`
  );
}

export function loadTable(power: BinPower, system: UnitSystem): TableModel {
  const number = true;
  const amps = power.by_temperature.some((at) => at.running_a !== null);
  return {
    head: [
      { label: axis("Outside", "temperature", system) },
      { label: "motor load, %", number },
      { label: axis("all shafts", "shaft-power", system), number },
      { label: axis("power drawn", "electric-power", system), number },
      ...(amps ? [{ label: "running, A", number }] : []),
    ],
    rows: power.by_temperature.map((at) => [
      localNumber(inUnit(at.ambient_c, "temperature", system), 0),
      localNumber(100 * at.motor_load, 0),
      localNumber(inUnit(at.shaft_power_w, "shaft-power", system), 2),
      localNumber(inUnit(at.input_power_w, "electric-power", system), 2),
      ...(amps ? [localNumber(at.running_a ?? Number.NaN, 1)] : []),
    ]),
    note: "All lots in, no burner lit.",
  };
}
