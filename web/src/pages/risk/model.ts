/** All years of a bin as plots, tables and summaries. */
import type { ModelRange, Outcome } from "../../api/types";
import { axis, display, inUnit, localNumber } from "../../lib/quantity";
import type { UnitSystem } from "../../lib/settings.svelte";
import { dayAndMonth, dayOf, fullDate } from "../../plots/dates";
import type { Dot, Line, PlotModel, Row, TableModel } from "../../plots/model";
import { OUTCOMES } from "../../plots/model";
import { epochDay } from "../../plots/ticks";
import type { BandPoint, YearView } from "../shapes";

/** The year whose dates stand on the axis for all years; one without 29 February in its winter. */
const ONTO = 2001;

/** What a season is held against. */
export interface Goals {
  /** First day of filling, day of the year from 0; null when it is not known as written. */
  first: number | null;
  /** Hour of the first load as a part of its day. */
  hour: number;
  /** Day by which, likewise. */
  by: number | null;
  /** Moisture wanted, wet basis. */
  target: number | null;
  /** Points the wettest tenth may lie above it. */
  excess: number;
  /** Storage life that may be used. */
  life: number;
}

/** Day 0 on the axis of dates. */
export function origin(goals: Goals): number {
  return epochDay(ONTO, 1, 1) + (goals.first ?? 0) + goals.hour;
}

/** Hour of the first load as a part of its day, from a year that tells both when and after how many days. */
export function firstHour(years: readonly YearView[]): number {
  const told = years.find((year) => year.finished_at !== null && year.days_to_target !== null);
  if (!told) return 0;
  const at = dayOf(told.finished_at) - (told.days_to_target ?? 0);
  return at - Math.floor(at + 1e-6);
}

/** An instant of a year's season as days from its first load. */
export function dayIn(instant: string | null, year: number, goals: Goals): number {
  return dayOf(instant) - (epochDay(year, 1, 1) + dayInYear(goals.first ?? 0, year) + goals.hour);
}

/** 29 February moves the days after it in a leap year. */
function dayInYear(day: number, year: number): number {
  const leap = new Date(Date.UTC(year, 1, 29)).getUTCMonth() === 1;
  return leap && day >= 59 ? day + 1 : day;
}

/** An outcome with its reason, in the program's own words. */
export function outcomeWords(year: Pick<YearView, "outcome" | "cause_says">): string {
  const word = OUTCOMES[year.outcome].word;
  return year.cause_says ? `${word}: ${year.cause_says}` : word;
}

/** What is being computed for the model range, told by how many seasons it takes. */
export function rangeWorking(seasons: number, years: number): string {
  const choices = years > 0 ? Math.round(seasons / years) : 0;
  return choices > 1
    ? `Not a result yet: trying ${choices - 1} other choices that the evidence allows, each over all ${years} weather years`
    : `Not a result yet: trying the worst of these choices together over all ${years} weather years`;
}

export function count(years: readonly YearView[]): Record<Outcome, number> {
  const out = { met: 0, held: 0, failed: 0 };
  for (const year of years) out[year.outcome] += 1;
  return out;
}

function rows(year: YearView, system: UnitSystem): Row[] {
  const out: Row[] = [{ label: "", value: outcomeWords(year), mark: OUTCOMES[year.outcome].mark }];
  if (year.finished_at) out.push({ label: "mean on target", value: fullDate(dayOf(year.finished_at)) });
  if (year.stopped_at) out.push({ label: "drying stopped", value: fullDate(dayOf(year.stopped_at)) });
  out.push({
    label: "wettest tenth",
    value: display(year.wettest_moisture_wb, "moisture-wet-basis", system),
  });
  if (year.life_used !== null) {
    out.push({ label: "storage life used", value: display(year.life_used, "fraction", system) });
  }
  return out;
}

/** The part of a year's line while it dried. */
function drying(year: YearView, goals: Goals): [number, number][] {
  if (!year.stopped_at || goals.first === null) return year.line;
  const until = dayIn(year.stopped_at, year.year, goals) + 0.5;
  const cut = year.line.filter(([day]) => day <= until);
  return cut.length > 0 ? cut : year.line.slice(0, 1);
}

const ORDER: Record<Outcome, number> = { met: 0, held: 1, failed: 2 };

/** Every year as a line, failed ones on top; eight years of ten as a band. */
export function yearsModel(
  years: readonly YearView[],
  bands: readonly BandPoint[],
  goals: Goals,
  system: UnitSystem,
): PlotModel {
  const zero = origin(goals);
  const sorted = [...years].sort((a, b) => ORDER[a.outcome] - ORDER[b.outcome] || a.year - b.year);
  const lines = sorted.map((year): Line => {
    const look = OUTCOMES[year.outcome];
    return {
      id: String(year.year),
      label: String(year.year),
      points: drying(year, goals).map(([day, wet]) => [zero + day, wet] as const),
      look: { ink: look.ink, width: year.outcome === "failed" ? 1.6 : 1.2, dash: look.dash },
      end: look.mark,
      rows: rows(year, system),
    };
  });
  // Once four years of five have stopped, a band says little of drying.
  const ends = lines.map((line) => line.points.at(-1)?.[0] ?? zero).sort((a, b) => a - b);
  const most = ends[ends.length - 1 - Math.floor(ends.length / 5)] ?? zero;
  const shown = bands.filter((band) => zero + band.day <= most);
  const rules: PlotModel["rules"] = [
    ...(goals.target === null ? [] : [{ along: "x" as const, at: goals.target, label: "wanted" }]),
    ...(goals.by === null || goals.first === null
      ? []
      : [{ along: "y" as const, at: lastDay(goals), label: `by ${dayAndMonth(lastDay(goals))}` }]),
  ];
  const median: Line[] =
    shown.length > 1
      ? [
          {
            id: "median",
            label: "half the years are below",
            points: shown.map((band) => [zero + band.day, band.median_wb] as const),
            look: { ink: "blue", width: 2.6 },
          },
        ]
      : [];
  return {
    x: { label: "date", kind: "day-and-month" },
    y: { label: "mean moisture", kind: "moisture-wet-basis" },
    lines: [...lines, ...median],
    bands: [
      {
        label: "8 years of 10",
        x: shown.map((band) => zero + band.day),
        low: shown.map((band) => band.tenth_wb),
        high: shown.map((band) => band.ninetieth_wb),
      },
    ],
    rules,
    keys: [
      ...(["met", "held", "failed"] as const).map((outcome) => ({
        label: OUTCOMES[outcome].word,
        look: { ink: OUTCOMES[outcome].ink, dash: OUTCOMES[outcome].dash },
        mark: OUTCOMES[outcome].mark,
      })),
      { label: "half the years are below", look: { ink: "blue" } },
      { label: "8 years of 10", look: { ink: "blue" }, area: "band" },
    ],
    reads: "nearest",
  };
}

/** The day by which it is to be dry: the next time it comes after the first load. */
function lastDay({ by, first }: Goals): number {
  const day = by ?? 0;
  return epochDay(ONTO, 1, 1) + (day >= (first ?? 0) ? day : day + 365);
}

export function yearsSummary(years: readonly YearView[], of: number): string {
  if (years.length === 0) return "No year is done yet.";
  const { met, held, failed } = count(years);
  const parts = [`${met} met`];
  if (held > 0) parts.push(`${held} held over winter`);
  parts.push(`${failed} failed`);
  const failures = years.filter((year) => year.outcome === "failed").map((year) => year.year);
  const which = failures.length > 0 && failures.length <= 8 ? ` (${failures.sort().join(", ")})` : "";
  const done = years.length < of ? ` ${years.length} of ${of} years are done.` : "";
  return `Of ${years.length} weather years ${parts.join(", ")}${which}.${done}`;
}

/** When the mean moisture came on target, one mark a year. */
export function finishModel(years: readonly YearView[], goals: Goals, system: UnitSystem): PlotModel {
  const zero = origin(goals);
  const placed = years.filter((year) => year.finished_at !== null);
  return {
    x: { label: "mean moisture on target", kind: "day-and-month", low: zero },
    y: { label: "weather year", kind: "plain" },
    dots: placed.map((year): Dot => {
      const look = OUTCOMES[year.outcome];
      return {
        id: String(year.year),
        x: zero + dayIn(year.finished_at, year.year, goals),
        y: year.year,
        mark: look.mark,
        ink: look.ink,
        label: String(year.year),
        rows: rows(year, system),
      };
    }),
    rules:
      goals.by === null || goals.first === null
        ? []
        : [{ along: "y", at: lastDay(goals), label: "last day wanted" }],
  };
}

export function finishSummary(years: readonly YearView[]): string {
  const days = years
    .filter((year) => year.days_to_target !== null)
    .sort((a, b) => (a.days_to_target ?? 0) - (b.days_to_target ?? 0));
  const first = days[0];
  const last = days.at(-1);
  const never = years.length - days.length;
  if (!first || !last) return "No year reaches the moisture wanted.";
  return (
    `The earliest after ${localNumber(first.days_to_target ?? 0, 0)} days (${first.year}), the latest after ` +
    `${localNumber(last.days_to_target ?? 0, 0)} (${last.year})` +
    `${never > 0 ? `; ${never} of ${years.length} years never` : ""}.`
  );
}

/** The worst grain of every year: how wet its wettest tenth was when drying stopped, how much storage life it used. */
export function worstModel(years: readonly YearView[], goals: Goals, system: UnitSystem): PlotModel {
  return {
    x: { label: "wettest tenth when drying stopped", kind: "moisture-wet-basis" },
    y: {
      label: "storage life used by the worst tenth",
      kind: "fraction",
      low: 0,
      high: Math.max(1, goals.life),
    },
    dots: years
      .filter((year) => year.life_used !== null)
      .map((year): Dot => {
        const look = OUTCOMES[year.outcome];
        return {
          id: String(year.year),
          x: year.wettest_moisture_wb,
          y: year.life_used ?? Number.NaN,
          mark: look.mark,
          ink: look.ink,
          label: String(year.year),
          named: year.outcome === "failed",
          rows: rows(year, system),
        };
      }),
    rules: [
      { along: "x", at: goals.life, label: "storage life allowed" },
      ...(goals.target === null
        ? []
        : [{ along: "y" as const, at: goals.target + goals.excess, label: "wettest allowed" }]),
    ],
  };
}

export function worstSummary(years: readonly YearView[], system: UnitSystem): string {
  const judged = years.filter((year) => year.life_used !== null);
  if (years.length > 0 && judged.length === 0) {
    return "Storage is not judged for this crop: no relation is published, which does not mean it is safe.";
  }
  const life = judged.reduce<YearView | null>(
    (a, b) => (a === null || (b.life_used ?? 0) > (a.life_used ?? 0) ? b : a),
    null,
  );
  const wet = years.reduce<YearView | null>(
    (a, b) => (a === null || b.wettest_moisture_wb > a.wettest_moisture_wb ? b : a),
    null,
  );
  if (!life || !wet) return "No year is done yet.";
  return (
    `Most storage life used: ${display(life.life_used, "fraction", system)} in ${life.year}. ` +
    `Wettest tenth at its wettest: ${display(wet.wettest_moisture_wb, "moisture-wet-basis", system)} in ${wet.year}.`
  );
}

export function yearsTable(years: readonly YearView[], system: UnitSystem): TableModel {
  const number = true;
  return {
    head: [
      { label: "Year" },
      { label: "Outcome" },
      { label: "Mean on target" },
      { label: "Days", number },
      { label: "Drying stopped" },
      { label: axis("mean", "moisture-wet-basis", system), number },
      { label: axis("wettest tenth", "moisture-wet-basis", system), number },
      { label: "storage life used, %", number },
    ],
    rows: [...years]
      .sort((a, b) => a.year - b.year)
      .map((year) => [
        String(year.year),
        outcomeWords(year),
        year.finished_at ? fullDate(dayOf(year.finished_at)) : "not reached",
        year.days_to_target === null ? "–" : localNumber(year.days_to_target, 0),
        year.stopped_at ? fullDate(dayOf(year.stopped_at)) : "not reached",
        localNumber(inUnit(year.mean_moisture_wb, "moisture-wet-basis", system), 1),
        localNumber(inUnit(year.wettest_moisture_wb, "moisture-wet-basis", system), 1),
        year.life_used === null ? "not judged" : localNumber(100 * year.life_used, 0),
      ]),
  };
}

export function rangeTable(range: ModelRange): TableModel {
  const number = true;
  const row = (name: string, of: ModelRange["base"]) => [
    of.kind === "moisture set" ? `${name} (${of.name})` : name,
    of.kind,
    String(of.met),
    String(of.held),
    String(of.failed),
    `${of.met + of.held} of ${of.met + of.held + of.failed}`,
  ];
  return {
    head: [
      { label: "Choice" },
      { label: "About" },
      { label: "met", number },
      { label: "held", number },
      { label: "failed", number },
      { label: "good years", number },
    ],
    rows: [
      row("as chosen", range.base),
      ...range.entries.map((entry) => row(entry.label, entry)),
      ...(range.worst ? [row("the worst of them together", range.worst)] : []),
    ],
    note: `Compared on a grid of ${range.layers} layers.`,
  };
}
