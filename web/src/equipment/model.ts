/** Equipment as lists and curves. */
import type { CatalogueBurner, CatalogueFan } from "../api/types";
import { fanKind, word } from "../forms/words";
import { axis, display, inUnit, localNumber } from "../lib/quantity";
import type { UnitSystem } from "../lib/settings.svelte";
import type { PlotModel, TableModel } from "../plots/model";

/** Most air, and most pressure on the side to run on. */
export function ends(fan: CatalogueFan): { airflow: number; pressure: number } {
  return {
    airflow: Math.max(0, ...fan.curve.map((point) => point.airflow_m3_s)),
    pressure: Math.max(0, ...fan.curve.filter((point) => point.stable).map((point) => point.pressure_pa)),
  };
}

/** Where figures come from, in a few words. */
export function origin(of: Pick<CatalogueFan, "invented" | "source" | "date" | "rating">): string {
  if (of.invented) return "DEMO, invented";
  const parts = [of.source ?? "no source named", of.date, of.rating].filter(Boolean);
  return parts.join("; ");
}

export function curveModel(fan: CatalogueFan): PlotModel {
  const points = (stable: boolean) =>
    fan.curve
      .filter((point) => point.stable === stable)
      .map((point) => [point.airflow_m3_s, point.pressure_pa] as const)
      .sort((a, b) => a[0] - b[0]);
  const unstable = points(false);
  const first = points(true)[0];
  return {
    x: { label: "airflow", kind: "airflow", low: 0 },
    y: { label: "static pressure", kind: "pressure", low: 0 },
    lines: [
      { id: "fan", label: "to run on", points: points(true), look: { ink: "blue", width: 2.4 } },
      ...(unstable.length > 0
        ? [
            {
              id: "unstable",
              label: "not to be run on",
              points: first ? [...unstable, first] : unstable,
              look: { ink: "bad" as const, width: 1.5, dash: [3, 3] },
            },
          ]
        : []),
    ],
  };
}

export function curveSummary(fan: CatalogueFan, system: UnitSystem): string {
  const { airflow, pressure } = ends(fan);
  return (
    `${fanKind(fan.kind)}: up to ${display(airflow, "airflow", system)}, and up to ` +
    `${display(pressure, "pressure", system)} on the side to run on. Figures: ${origin(fan)}.`
  );
}

export function curveTable(fan: CatalogueFan, system: UnitSystem): TableModel {
  const number = true;
  return {
    head: [
      { label: axis("airflow", "airflow", system), number },
      { label: axis("static pressure", "pressure", system), number },
      { label: axis("shaft power", "shaft-power", system), number },
      { label: "Part" },
    ],
    rows: fan.curve.map((point) => [
      localNumber(inUnit(point.airflow_m3_s, "airflow", system), 0),
      localNumber(inUnit(point.pressure_pa, "pressure", system), system === "us" ? 2 : 0),
      point.shaft_power_w === null
        ? "estimated"
        : localNumber(inUnit(point.shaft_power_w, "shaft-power", system), 2),
      point.stable ? "to run on" : "not to be run on",
    ]),
    note: "At standard air density.",
  };
}

/** What a burner is, in a few words. */
export function firing(burner: CatalogueBurner, system: UnitSystem): string {
  const low =
    burner.minimum_fire < 1 ? `, down to ${display(burner.minimum_fire, "fraction", system)} of it` : "";
  return `${word(burner.firing)}${low}`;
}
