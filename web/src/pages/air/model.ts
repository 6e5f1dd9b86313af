/** The air of a bin as plots, tables and summaries. */
import type { BinAir, Fill } from "../../api/types";
import { axis, display, inUnit, localNumber } from "../../lib/quantity";
import type { UnitSystem } from "../../lib/settings.svelte";
import type { Dot, Line, PlotModel, Row, TableModel } from "../../plots/model";
import type { Need } from "./needs";
import { against } from "./needs";
import { perTonne, shape, state } from "./words";

const DASHES: readonly (readonly number[])[] = [[2, 3], [5, 4], [9, 4], []];

export function percent(share: number): string {
  return `${localNumber(100 * share, 0)} %`;
}

/** Airflow by the grain as this reader counts it; by the tonne too where tonnes are used. */
function byGrain(air: BinAir, fill: Fill, system: UnitSystem, and: string): string {
  const volume = display(fill.specific_airflow_1_s, "specific-airflow", system);
  if (system === "us") return volume;
  const tonne = localNumber(perTonne(fill.specific_airflow_1_s, air.bulk_density_kg_m3), 0);
  return `${volume}${and}${tonne}\u00a0m³/(h·t)`;
}

/** A column that only readers of SI are shown. */
const inSi = <T>(system: UnitSystem, column: T): T[] => (system === "si" ? [column] : []);

function rows(air: BinAir, fill: Fill, system: UnitSystem): Row[] {
  return [
    { label: "grain", value: `${display(fill.depth_m, "length", system)} deep` },
    { label: "airflow", value: display(fill.airflow_m3_s, "airflow", system) },
    {
      label: "",
      value: byGrain(air, fill, system, ", "),
    },
    { label: "static pressure", value: display(fill.static_pressure_pa, "pressure", system) },
    { label: "power drawn", value: display(fill.input_power_w, "electric-power", system) },
    { label: "motor at", value: `${percent(fill.motor_load)} of its rating` },
    { label: "", value: state(fill) },
  ];
}

/** Fans against the grain at every fill. `before` is the air as kept, drawn faint while something is tried. */
export function fanModel(air: BinAir, before: BinAir | null, system: UnitSystem): PlotModel {
  const curves = air.curves;
  const lines: Line[] = [];
  const old = before?.curves;
  if (old) {
    lines.push({
      id: "before-fan",
      label: "fans as kept",
      points: old.fan.stable,
      look: { ink: "grid", width: 3 },
    });
    const full = old.systems.at(-1);
    if (full) {
      lines.push({
        id: "before-full",
        label: "full, as kept",
        points: full.points,
        look: { ink: "grid", width: 3 },
      });
    }
  }
  if (curves) {
    curves.systems.forEach((one, i) => {
      const dash = DASHES[Math.max(0, DASHES.length - curves.systems.length + i)] ?? [];
      lines.push({
        id: `system-${one.fill}`,
        label: `${percent(one.fill)} full`,
        points: one.points,
        look: { ink: "ink", width: 1.3, dash },
      });
    });
    if (curves.fan.unstable.length > 0) {
      lines.push({
        id: "unstable",
        label: "not to be run on",
        points: [...curves.fan.unstable].sort((a, b) => a[0] - b[0]),
        look: { ink: "bad", width: 1.5, dash: [3, 3] },
      });
    }
    lines.push({
      id: "fan",
      label: curves.fan.label,
      points: [...curves.fan.stable].sort((a, b) => a[0] - b[0]),
      look: { ink: "blue", width: 2.6 },
    });
  }
  const dots = air.fills
    .filter((fill) => fill.airflow_m3_s > 0)
    .map(
      (fill): Dot => ({
        id: `fill-${fill.fill}`,
        x: fill.airflow_m3_s,
        y: fill.static_pressure_pa,
        mark: shape(fill),
        ink: shape(fill) === "met" ? "blue" : "bad",
        label: `${percent(fill.fill)} full`,
        named: true,
        rows: rows(air, fill, system),
      }),
    );
  return {
    x: { label: "airflow at the fans", kind: "airflow", low: 0 },
    y: { label: "static pressure", kind: "pressure", low: 0 },
    lines,
    dots,
    keys: [
      { label: curves?.fan.label ?? "fans", look: { ink: "blue" } },
      { label: "what bin and grain ask, at each fill", look: { ink: "ink" } },
      ...(curves && curves.fan.unstable.length > 1
        ? [{ label: "not to be run on", look: { ink: "bad" as const }, area: "hatch" as const }]
        : []),
      ...(before ? [{ label: "as kept", look: { ink: "grid" as const } }] : []),
    ],
    hatches:
      curves && curves.fan.unstable.length > 1
        ? [
            {
              label: "not to be run on",
              points: [...curves.fan.unstable].sort((a, b) => a[0] - b[0]),
            },
          ]
        : [],
  };
}

export function fanSummary(air: BinAir, system: UnitSystem): string {
  const full = air.fills.at(-1);
  if (!full) return "No grain, no working point.";
  if (!(full.airflow_m3_s > 0)) return `Full, the fans are ${state(full)}.`;
  const stable = air.fills.filter((fill) => fill.outcome === "works").length;
  return (
    `Full, at ${display(full.depth_m, "length", system)}, the fans settle at ` +
    `${display(full.airflow_m3_s, "airflow", system)} against ` +
    `${display(full.static_pressure_pa, "pressure", system)}: ${state(full)}. ` +
    `${stable} of ${air.fills.length} fills stable.`
  );
}

/** Every fill with everything known of it. */
export function fillTable(air: BinAir, system: UnitSystem): TableModel {
  const number = true;
  return {
    head: [
      { label: "Fill" },
      { label: axis("depth", "length", system), number },
      { label: axis("airflow", "airflow", system), number },
      { label: axis("per grain", "specific-airflow", system), number },
      ...inSi(system, { label: "per tonne, m³/(h·t)", number }),
      { label: axis("static pressure", "pressure", system), number },
      { label: axis("power drawn", "electric-power", system), number },
      { label: "motor load, %", number },
      { label: axis("fan heat", "temperature-difference", system), number },
      { label: "State" },
    ],
    rows: air.fills.map((fill) => {
      const of = (value: number, kind: string, decimals: number) =>
        fill.airflow_m3_s > 0 ? localNumber(inUnit(value, kind, system), decimals) : "–";
      return [
        percent(fill.fill),
        localNumber(inUnit(fill.depth_m, "length", system), 1),
        of(fill.airflow_m3_s, "airflow", 0),
        of(fill.specific_airflow_1_s, "specific-airflow", system === "us" ? 2 : 1),
        ...inSi(
          system,
          fill.airflow_m3_s > 0
            ? localNumber(perTonne(fill.specific_airflow_1_s, air.bulk_density_kg_m3), 0)
            : "–",
        ),
        of(fill.static_pressure_pa, "pressure", system === "us" ? 2 : 0),
        of(fill.input_power_w, "electric-power", 2),
        localNumber(100 * fill.motor_load, 0),
        of(fill.fan_heat_k, "temperature-difference", 1),
        state(fill),
      ];
    }),
    note:
      `Outside air ${display(air.ambient_c, "temperature", system)} and ` +
      `${display(air.ambient_relative_humidity, "relative-humidity", system)}, barometer ` +
      `${display(air.pressure_pa, "barometric", system)}; bulk density ` +
      `${display(air.bulk_density_kg_m3, "bulk-density", system)} as filled; packing factor ` +
      `${localNumber(air.packing, 2)}.`,
  };
}

function byDepth(air: BinAir, pick: (fill: Fill) => number, words: (fill: Fill) => Row[]) {
  const points = air.fills.map((fill) => [fill.depth_m, pick(fill)] as const);
  return {
    lines: [{ id: "bin", label: "this bin", points, look: { ink: "blue", width: 2.4 } }] satisfies Line[],
    dots: air.fills.map(
      (fill): Dot => ({
        id: `fill-${fill.fill}`,
        x: fill.depth_m,
        y: pick(fill),
        mark: shape(fill),
        ink: shape(fill) === "met" ? "blue" : "bad",
        label: `${percent(fill.fill)} full`,
        rows: words(fill),
      }),
    ),
  };
}

/** Air per volume of grain over the depth, with what the trade asks for. */
export function airModel(air: BinAir, asked: readonly Need[], system: UnitSystem): PlotModel {
  const most = Math.max(0, ...air.fills.map((fill) => fill.specific_airflow_1_s));
  return {
    x: { label: "depth of grain", kind: "length", low: 0 },
    y: { label: "airflow per grain as filled", kind: "specific-airflow", low: 0 },
    ...byDepth(
      air,
      (fill) => fill.specific_airflow_1_s,
      (fill) => rows(air, fill, system),
    ),
    rules: apart(
      asked.filter((need) => need.low <= 1.5 * most),
      0.06 * most,
    ),
  };
}

/** Needs as lines that do not lie on one another: the first of those that nearly agree stands for all; the table has them. */
function apart(asked: readonly Need[], gap: number): NonNullable<PlotModel["rules"]> {
  const out: { along: "x"; at: number; label: string }[] = [];
  for (const need of asked) {
    if (out.every((rule) => Math.abs(rule.at - need.low) > gap)) {
      out.push({ along: "x", at: need.low, label: need.purpose });
    }
  }
  return out;
}

export function airSummary(air: BinAir, system: UnitSystem): string {
  const full = air.fills.at(-1);
  if (!full || !(full.airflow_m3_s > 0)) return "No airflow when full.";
  return `Full: ${byGrain(air, full, system, ", or ")}.`;
}

export function needTable(air: BinAir, asked: readonly Need[], system: UnitSystem): TableModel {
  const range = (need: Need, show: (value: number) => string) =>
    need.high > need.low * 1.001 ? `${show(need.low)} to ${show(need.high)}` : show(need.low);
  return {
    head: [
      { label: "Asked for" },
      { label: axis("per grain", "specific-airflow", system), number: true },
      ...inSi(system, { label: "per tonne, m³/(h·t)", number: true }),
      { label: "This bin, full" },
      { label: "Source" },
    ],
    rows: asked.map((need) => [
      need.purpose,
      range(need, (value) => localNumber(inUnit(value, "specific-airflow", system), system === "us" ? 2 : 1)),
      ...inSi(
        system,
        range(need, (value) => localNumber(perTonne(value, air.bulk_density_kg_m3), 0)),
      ),
      against(air, need),
      need.source,
    ]),
    note: "Customs of regions and crops, not limits; whether the grain dries before it spoils is what the risk page answers.",
  };
}

/** Load of the most loaded motor over the depth. */
export function motorModel(air: BinAir, system: UnitSystem): PlotModel {
  return {
    x: { label: "depth of grain", kind: "length", low: 0 },
    y: { label: "motor load", kind: "fraction", low: 0, high: 1.1 },
    ...byDepth(
      air,
      (fill) => fill.motor_load,
      (fill) => rows(air, fill, system),
    ),
    rules: [{ along: "x", at: 1, label: "rating" }],
  };
}

export function motorSummary(air: BinAir): string {
  const worst = air.fills.reduce<Fill | null>(
    (a, b) => (a === null || b.motor_load > a.motor_load ? b : a),
    null,
  );
  if (!worst) return "";
  const over = air.fills.filter((fill) => fill.overload).length;
  const estimated = air.fills.some((fill) => fill.estimated_power)
    ? " The power rests on an estimate by kind of fan."
    : "";
  return (
    `Most loaded at ${percent(worst.fill)} full: ${percent(worst.motor_load)} of the rating` +
    `${over > 0 ? `; overloaded at ${over} of ${air.fills.length} fills` : ""}` +
    ` in this air; colder air is denser and loads it more: see Heat.${estimated}`
  );
}

/** The parts of the pressure in the order the air meets them. */
const BUDGET = [
  { key: "transition_pa", name: "transition and duct" },
  { key: "floor_pa", name: "perforated floor" },
  { key: "spread_pa", name: "crowding at pad or ducts" },
  { key: "grain_pa", name: "grain" },
  { key: "vents_pa", name: "roof vents" },
] as const satisfies readonly { key: keyof Fill; name: string }[];

/** The parts that this bin has: on a full floor air is not crowded. */
export function budgetParts(air: BinAir) {
  return BUDGET.filter(({ key }) => key !== "spread_pa" || air.fills.some((fill) => fill.spread_pa > 0));
}

export function budgetTable(air: BinAir, system: UnitSystem): TableModel {
  const decimals = system === "us" ? 2 : 0;
  const parts = budgetParts(air);
  return {
    head: [
      { label: "Fill" },
      ...parts.map(({ name }) => ({ label: axis(name, "pressure", system), number: true })),
      { label: axis("all", "pressure", system), number: true },
    ],
    rows: air.fills.map((fill) => [
      percent(fill.fill),
      ...parts.map(({ key }) => localNumber(inUnit(fill[key], "pressure", system), decimals)),
      localNumber(inUnit(fill.static_pressure_pa, "pressure", system), decimals),
    ]),
  };
}

export function budgetSummary(air: BinAir, system: UnitSystem): string {
  const full = air.fills.at(-1);
  if (!full || !(full.static_pressure_pa > 0)) return "No airflow when full, so nothing takes pressure.";
  const share = (pascal: number) => percent(pascal / full.static_pressure_pa);
  const rest = budgetParts(air)
    .filter(({ key }) => key !== "grain_pa" && full[key] > 0.005 * full.static_pressure_pa)
    .map(({ key, name }) => `${name} ${share(full[key])}`)
    .join(", ");
  return (
    `Full, of ${display(full.static_pressure_pa, "pressure", system)} the grain takes ` +
    `${localNumber((100 * full.grain_pa) / full.static_pressure_pa, 1)} %${rest === "" ? "" : `, ${rest}`}.`
  );
}
