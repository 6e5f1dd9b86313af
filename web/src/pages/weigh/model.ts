/** A weighing as plots and tables. */

import { library } from "../../forms/library.svelte";
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

/** Fans and burners by what they are in place of their names in the catalogue, wherever a text names them. */
export function plain(text: string): string {
  const choices = [...library.fans, ...library.burners].sort((a, b) => b.value.length - a.value.length);
  const escaped = choices.map((one) => one.value.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"));
  if (escaped.length === 0) return text;
  // A sentence may begin with a name, its first letter made large.
  return text.replace(
    new RegExp(`(?<![\\w-])(?:${escaped.join("|")})(?![\\w-])`, "gi"),
    (id) => choices.find((one) => one.value.toLowerCase() === id.toLowerCase())?.says ?? id,
  );
}

/** The names of the catalogue that a text names, for who orders them. */
export function ordered(text: string): string[] {
  const ids = [...library.fans, ...library.burners].map((one) => one.value);
  const found = ids.filter((id) => text.includes(id));
  return found.filter((id) => !found.some((other) => other !== id && other.includes(id)));
}

const LOOKS: Readonly<Record<string, { mark: Mark; ink: Ink; says: string }>> = {
  read: { mark: "ring", ink: "grid", says: "estimated, not run yet" },
  running: { mark: "ring", ink: "soft", says: "still running" },
  complete: { mark: "met", ink: "soft", says: "has run all years" },
  front: { mark: "met", ink: "blue", says: "in question: none is both cheaper and surer" },
  beaten: { mark: "dot", ink: "soft", says: "not worth it: another costs less and fails no more often" },
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

interface Chosen {
  name: string;
  says: string;
}

function scatter(points: readonly Shown[], all: number, unit: string, choice: Chosen | null): PlotModel {
  const chosen = choice?.name ?? null;
  const decimals = /bushel/.test(unit) ? 3 : 2;
  const dots = points.map((point): Dot => {
    const look = lookOf(point.state);
    return {
      id: point.name,
      x: failedOf(point.failed, point.run, all),
      y: point.cost,
      mark: point.name === chosen ? "held" : look.mark,
      ink: point.name === chosen ? "rust" : look.ink,
      label: plain(point.name),
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
      ...(choice === null
        ? []
        : [
            {
              label: choice.says,
              look: { ink: "rust" as const },
              mark: "held" as const,
            },
          ]),
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
  const name = weighing.chosen === null ? undefined : weighing.outfits[weighing.chosen]?.name;
  const says = weighing.goal_reached
    ? "the choice: the cheapest that is sure enough"
    : "nearest to what is wanted: nothing is sure enough";
  const chosen = name === undefined ? null : { name, says };
  const all = weighing.years.length;
  return {
    ...scatter(shown, all, costUnit(weighing), chosen),
    rules: [{ along: "y", at: (1 - weighing.wanted) * all, label: "at most so many wanted" }],
  };
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
      plain(one.name),
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
      label: plain(of.name),
      points: years.map((pair) => [pair[pick].year, cost(pair[pick])] as const),
      look: { ink, width: 2 },
    },
    dots: years.map((pair) => ({
      id: `${pick}-${pair[pick].year}`,
      x: pair[pick].year,
      y: cost(pair[pick]),
      mark: outcome(pair[pick]).mark,
      ink,
      label: `${plain(of.name)}, ${pair[pick].year}`,
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
      { label: plain(a.name), look: one.line.look },
      { label: plain(b.name), look: other.line.look },
      { label: "failed", look: { ink: "ink" }, mark: "failed" },
    ],
  };
}

export function pairSummary(a: Outfit, b: Outfit, weighing: Weighing): string {
  const years = paired(a, b);
  const cheaper = years.filter(([x, y]) => (x.cost ?? x.electricity_j) < (y.cost ?? y.electricity_j)).length;
  const failed = (pick: 0 | 1) => years.filter((pair) => pair[pick].outcome === "failed").length;
  return (
    `${plain(a.name)} is cheaper in ${cheaper} of ${years.length} years (${money(a.cost, weighing)} against ` +
    `${money(b.cost, weighing)} on the mean); it fails in ${failed(0)} of them, ${plain(b.name)} in ${failed(1)}`
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
    head: [{ label: "Year" }, ...heads(plain(a.name)), ...heads(plain(b.name))],
    rows: paired(a, b).map(([x, y]) => [String(x.year), ...cell(x), ...cell(y)]),
    note: `Cost in ${costUnit(weighing)}.`,
  };
}
