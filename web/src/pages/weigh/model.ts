/** A weighing as plots and tables. */
import { display, localNumber } from "../../lib/quantity";
import type { UnitSystem } from "../../lib/settings.svelte";
import type { Dot, Ink, Mark, PlotModel, TableModel } from "../../plots/model";
import { OUTCOMES } from "../../plots/model";
import type { Excluded, Outfit, OutfitYear, RacePoint, Sorted, Weighing } from "./shapes";

/** What costs are counted in: "USD a bushel"; electricity where nothing is priced. */
export function costUnit(of: Pick<Weighing, "currency" | "measure"> | null): string {
  if (!of?.currency) return "kWh";
  return `${of.currency} ${of.measure === "bushel" ? "a bushel" : "a tonne"}`;
}

export function money(value: number | null, of: Pick<Weighing, "currency" | "measure">): string {
  if (value === null) return "no price";
  const decimals = of.measure === "bushel" ? 3 : 2;
  return `${localNumber(value, decimals)}\u00a0${costUnit(of)}`;
}

const LOOKS: Readonly<Record<string, { mark: Mark; ink: Ink; says: string }>> = {
  running: { mark: "ring", ink: "soft", says: "still running" },
  complete: { mark: "met", ink: "soft", says: "has run all years" },
  front: { mark: "met", ink: "blue", says: "worth looking at: none is cheaper and surer" },
  beaten: { mark: "dot", ink: "soft", says: "beaten" },
  hopeless: { mark: "failed", ink: "bad", says: "fails in every year" },
  unknown: { mark: "ring", ink: "soft", says: "cut short" },
};

export const lookOf = (state: string) =>
  LOOKS[state] ?? { mark: "dot" as const, ink: "soft" as const, says: state };

/** Years failed, as if all had run at the same rate: so that points stand still once they are near. */
const failedOf = (failed: number, run: number, all: number) => (run === 0 ? 0 : (failed * all) / run);

interface Shown {
  name: string;
  failed: number;
  run: number;
  cost: number;
  state: string;
  unpriced: boolean;
}

function scatter(points: readonly Shown[], all: number, unit: string, chosen: string | null): PlotModel {
  const decimals = /bushel/.test(unit) ? 3 : 2;
  const dots = points.map((point): Dot => {
    const look = lookOf(point.state);
    return {
      id: point.name,
      x: failedOf(point.failed, point.run, all),
      y: point.cost,
      mark: point.name === chosen ? "held" : look.mark,
      ink: point.name === chosen ? "rust" : look.ink,
      label: point.name,
      named: point.name === chosen,
      rows: [
        { label: "years failed", value: `${point.failed} of ${point.run}` },
        {
          label: "cost",
          value: `${point.unpriced ? "at least " : ""}${localNumber(point.cost, decimals)} ${unit}`,
        },
        { label: "", value: look.says },
      ],
    };
  });
  const states = [...new Set(points.map((point) => point.state))];
  return {
    x: { label: `years failed of ${all}`, kind: "plain", low: 0 },
    y: { label: `cost, ${unit}`, kind: "number" },
    reads: "nearest",
    dots,
    keys: [
      ...(chosen === null
        ? []
        : [{ label: "worth buying", look: { ink: "rust" as const }, mark: "held" as const }]),
      ...states.map((state) => {
        const { says, ink, mark } = lookOf(state);
        return { label: says, look: { ink }, mark };
      }),
    ],
  };
}

/** While the race runs. */
export function raceModel(points: readonly RacePoint[], sorted: Sorted | null, unit: string): PlotModel {
  const shown = points.map((point) => ({ ...point, run: point.years_run }));
  return scatter(shown, sorted?.years.length ?? 1, unit, null);
}

/** As it ended. */
export function frontModel(weighing: Weighing): PlotModel {
  const shown = weighing.outfits.map((one) => ({
    name: one.name,
    failed: one.failed,
    run: one.years_run,
    cost: one.cost ?? one.electricity_j / 3.6e6,
    state: one.standing,
    unpriced: one.unpriced,
  }));
  const chosen = weighing.chosen === null ? null : (weighing.outfits[weighing.chosen]?.name ?? null);
  return scatter(shown, weighing.years.length, costUnit(weighing), chosen);
}

export function outfitTable(weighing: Weighing, system: UnitSystem): TableModel {
  const number = true;
  return {
    head: [
      { label: "Outfit" },
      { label: `cost, ${costUnit(weighing)}`, number },
      { label: "years failed", number },
      { label: "airflow", number },
      { label: "load", number },
      { label: "first cost", number },
      { label: "stands" },
    ],
    rows: weighing.outfits.map((one) => [
      one.name,
      `${one.unpriced ? "≥ " : ""}${one.cost === null ? "–" : localNumber(one.cost, weighing.measure === "bushel" ? 3 : 2)}`,
      `${one.failed} of ${one.years_run}`,
      display(one.specific_airflow_per_s, "specific-airflow", system),
      display(one.connected_load_w, "electric-power", system),
      one.first_cost === null ? "–" : localNumber(one.first_cost, 0),
      lookOf(one.standing).says,
    ]),
  };
}

/** The excluded, by what took them out. */
export function byReason(excluded: readonly Excluded[]): [string, Excluded[]][] {
  const groups = new Map<string, Excluded[]>();
  for (const one of excluded) groups.set(one.code, [...(groups.get(one.code) ?? []), one]);
  return [...groups].sort((a, b) => b[1].length - a[1].length);
}

/** Two outfits year by year; years that only one ran are left out. */
export function paired(a: Outfit, b: Outfit): [OutfitYear, OutfitYear][] {
  return a.years.flatMap((year) => {
    const other = b.years.find((one) => one.year === year.year);
    return other ? [[year, other] as [OutfitYear, OutfitYear]] : [];
  });
}

const outcome = (year: OutfitYear) => OUTCOMES[year.outcome as keyof typeof OUTCOMES] ?? OUTCOMES.failed;

export function pairModel(a: Outfit, b: Outfit, weighing: Weighing): PlotModel {
  const cost = (year: OutfitYear) => year.cost ?? year.electricity_j / 3.6e6;
  const years = paired(a, b);
  const side = (pick: 0 | 1, ink: Ink, of: Outfit) => ({
    line: {
      id: of.name,
      label: of.name,
      points: years.map((pair) => [pair[pick].year, cost(pair[pick])] as const),
      look: { ink, width: 2 },
    },
    dots: years.map((pair) => ({
      id: `${pick}-${pair[pick].year}`,
      x: pair[pick].year,
      y: cost(pair[pick]),
      mark: outcome(pair[pick]).mark,
      ink,
      label: `${of.name}, ${pair[pick].year}`,
      rows: [
        { label: "outcome", value: outcome(pair[pick]).word },
        { label: "cost", value: money(pair[pick].cost, weighing) },
      ],
    })),
  });
  const [one, other] = [side(0, "blue", a), side(1, "rust", b)];
  return {
    x: { label: "year", kind: "plain" },
    y: { label: `cost, ${costUnit(weighing)}`, kind: "number" },
    lines: [one.line, other.line],
    dots: [...one.dots, ...other.dots],
    keys: [
      { label: a.name, look: one.line.look },
      { label: b.name, look: other.line.look },
      { label: "failed", look: { ink: "ink" }, mark: "failed" },
    ],
  };
}

export function pairSummary(a: Outfit, b: Outfit, weighing: Weighing): string {
  const years = paired(a, b);
  const cheaper = years.filter(([x, y]) => (x.cost ?? x.electricity_j) < (y.cost ?? y.electricity_j)).length;
  const failed = (pick: 0 | 1) => years.filter((pair) => pair[pick].outcome === "failed").length;
  return (
    `${a.name} is cheaper in ${cheaper} of ${years.length} years (${money(a.cost, weighing)} against ` +
    `${money(b.cost, weighing)} on the mean); it fails in ${failed(0)} of them, ${b.name} in ${failed(1)}`
  );
}

export function pairTable(a: Outfit, b: Outfit, weighing: Weighing): TableModel {
  const number = true;
  const decimals = weighing.measure === "bushel" ? 3 : 2;
  const cell = (year: OutfitYear) => [
    outcome(year).word,
    year.cost === null ? "–" : localNumber(year.cost, decimals),
    localNumber(year.electricity_j / 3.6e6, 0),
    year.days_to_target === null ? "not reached" : localNumber(year.days_to_target, 0),
  ];
  const heads = (name: string) => [
    { label: name },
    { label: "cost", number },
    { label: "kWh", number },
    { label: "days", number },
  ];
  return {
    head: [{ label: "Year" }, ...heads(a.name), ...heads(b.name)],
    rows: paired(a, b).map(([x, y]) => [String(x.year), ...cell(x), ...cell(y)]),
    note: `Cost in ${costUnit(weighing)}.`,
  };
}
