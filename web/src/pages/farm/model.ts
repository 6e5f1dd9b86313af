/** The farm as plots, tables and summaries. */
import { axis, display, inUnit, localNumber } from "../../lib/quantity";
import type { UnitSystem } from "../../lib/settings.svelte";
import { dayAndMonth, dayOf, fullDate } from "../../plots/dates";
import { type Line, type Look, OUTCOMES, type PlotModel, type TableModel } from "../../plots/model";
import type { Farm, FarmBin, FarmYear } from "./shapes";

const number = true;

/** An amount of grain: bushels where readers of US units have them, else a mass. */
export function amount(farm: Farm, kg: number, system: UnitSystem): string {
  if (system === "si" || farm.bushel_kg === null) return display(kg, "mass", system);
  return `${localNumber(kg / farm.bushel_kg, 0)}\u00a0bu`;
}

function grain(farm: Farm, name: string, system: UnitSystem): string {
  return system === "si" || farm.bushel_kg === null ? axis(name, "mass", system) : `${name}, bu`;
}

function bare(farm: Farm, kg: number, system: UnitSystem): string {
  if (system === "si" || farm.bushel_kg === null) return localNumber(inUnit(kg, "mass", system), 0);
  return localNumber(kg / farm.bushel_kg, 0);
}

/** What became of a bin, in words. */
export function bin(farm: Farm, one: FarmBin, system: UnitSystem): string {
  const got =
    one.taken_kg === null || one.filled_share === null
      ? "its own lots"
      : `${amount(farm, one.taken_kg, system)}, filled to ${localNumber(100 * one.filled_share, 0)} %`;
  if (one.outcome === null) return `${got}; it stays empty`;
  const word = one.outcome in OUTCOMES ? OUTCOMES[one.outcome as keyof typeof OUTCOMES].word : one.outcome;
  const done = one.finished_at === null ? "" : ` on ${fullDate(Math.floor(dayOf(one.finished_at)))}`;
  return `${got}; ${word}${one.outcome === "met" ? done : ""}${one.cause === null ? "" : `: ${one.cause.replaceAll("-", " ")}`}`;
}

const LOOKS: readonly Look[] = [
  { ink: "blue", width: 2.4 },
  { ink: "rust", width: 2.4, dash: [9, 3] },
  { ink: "good", width: 2.4, dash: [2, 3] },
  { ink: "held", width: 2.4, dash: [9, 3, 2, 3] },
  { ink: "soft", width: 2 },
  { ink: "ink", width: 1.4, dash: [5, 2] },
];

/** What each bin holds at the end of each day of the harvest, and what waits in the field. */
export function loadsModel(farm: Farm, year: FarmYear): PlotModel {
  const lines: Line[] = farm.bins.flatMap((name, i) => {
    let held = 0;
    const points = year.days.map((day) => {
      held += day.taken_kg[i] ?? 0;
      return [dayOf(day.at) + 1, held] as const;
    });
    return held > 0
      ? [{ id: name, label: `bin ${name}`, points, look: LOOKS[i % LOOKS.length] ?? { ink: "blue" } }]
      : [];
  });
  if (year.most_waiting_kg > 0) {
    lines.push({
      id: "waiting",
      label: "waits in the field",
      points: year.days.map((day) => [dayOf(day.at) + 1, day.waiting_kg] as const),
      look: { ink: "bad", width: 1.8 },
    });
  }
  return {
    x: { label: "end of the day", kind: "date" },
    y: { label: "grain as harvested", kind: "mass", low: 0 },
    lines,
  };
}

export function loadsSummary(farm: Farm, year: FarmYear, system: UnitSystem): string {
  const rest =
    year.sold_wet_kg > 0
      ? `${amount(farm, year.sold_wet_kg, system)} wait longer than ${farm.wait_days} days and are sold wet`
      : year.most_waiting_kg > 0
        ? `at most ${amount(farm, year.most_waiting_kg, system)} wait in the field, nothing is sold wet`
        : "no load waits in the field";
  const order =
    farm.order === "most-life"
      ? "A load goes to the bin with the most storage life left"
      : "A load goes to the first bin of the list that may take it";
  return (
    `${amount(farm, year.harvest_kg, system)} come from the field: ${rest}. ${order}; a bin takes none once its grain has used ` +
    `${localNumber(100 * farm.most_life_used, 0)} % of its life.`
  );
}

export function loadsTable(farm: Farm, year: FarmYear, system: UnitSystem): TableModel {
  return {
    head: [
      { label: "Day" },
      ...farm.bins.flatMap((name) => [
        { label: grain(farm, `to ${name}`, system), number },
        { label: "life used, %", number },
      ]),
      { label: grain(farm, "waiting", system), number },
      { label: grain(farm, "sold wet", system), number },
    ],
    rows: year.days.map((day) => [
      dayAndMonth(dayOf(day.at)),
      ...farm.bins.flatMap((_, i) => {
        const life = day.life_used[i];
        const taken = day.taken_kg[i] ?? 0;
        return [
          taken > 0 ? bare(farm, taken, system) : "–",
          typeof life === "number" ? localNumber(100 * life, 0) : "–",
        ];
      }),
      bare(farm, day.waiting_kg, system),
      bare(farm, day.sold_kg, system),
    ]),
    note: "Life: used by the worst tenth of the bin when the loads of the day came.",
  };
}

export function serviceModel(year: FarmYear): PlotModel {
  const days = year.service.days;
  const points = (pick: (day: (typeof days)[number]) => number) =>
    days.map((day) => [dayOf(day.at), pick(day)] as const);
  return {
    x: { label: "day", kind: "date" },
    y: { label: "power of all bins", kind: "electric-power", low: 0 },
    lines: [
      {
        id: "highest",
        label: "highest of the day",
        points: points((d) => d.highest_w),
        look: { ink: "rust", width: 1.8 },
      },
      {
        id: "mean",
        label: "mean of the day",
        points: points((d) => d.mean_w),
        look: { ink: "blue", width: 2.4 },
      },
    ],
  };
}

export function serviceSummary(year: FarmYear, system: UnitSystem): string {
  const { service } = year;
  const amps = (value: number) => display(value, "current", system);
  const current = service.peak_a === null ? "" : `, ${amps(service.peak_a)}`;
  const other =
    service.other_w > 0 ? ` with ${display(service.other_w, "electric-power", system)} of other load` : "";
  const rated =
    service.service_a === null
      ? ""
      : service.hours_over === 0
        ? ` The service of ${amps(service.service_a)} is never passed.`
        : ` The service of ${amps(service.service_a)} would be passed in ${localNumber(service.hours_over, 0)} hours: its main trips.`;
  return (
    `At most ${display(service.peak_w, "electric-power", system)}${current} together${other}, on ` +
    `${fullDate(Math.floor(dayOf(service.peak_at)))}; each bin on a meter of its own ` +
    `${display(service.peaks_apart_w, "electric-power", system)} in sum.${rated}`
  );
}

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

export function serviceTable(year: FarmYear, system: UnitSystem): TableModel {
  return {
    head: [{ label: "Month" }, { label: axis("highest power together", "electric-power", system), number }],
    rows: year.service.monthly_peak_w.flatMap((watts, i) =>
      watts > 0 ? [[MONTHS[i] ?? "", localNumber(inUnit(watts, "electric-power", system), 1)]] : [],
    ),
    note: "What a demand charge is taken of, one meter for all bins.",
  };
}

export function tankModel(tank: NonNullable<FarmYear["tank"]>): PlotModel {
  return {
    x: { label: "day", kind: "date" },
    y: { label: "tanks filled to", kind: "fraction", low: 0, high: 1 },
    lines: [
      {
        id: "level",
        label: "level",
        points: tank.levels.map((level) => [dayOf(level.at), level.fill] as const),
        look: { ink: "blue", width: 2.2 },
      },
    ],
    rules: [
      { along: "x", at: tank.reserve, label: "ordered again", ink: "rust" },
      ...tank.deliveries.map((one) => ({
        along: "y" as const,
        at: dayOf(one.came_at),
        label: "delivery",
        ink: "soft" as const,
      })),
    ],
  };
}

export function tankSummary(tank: NonNullable<FarmYear["tank"]>, system: UnitSystem): string {
  const liquid = (m3: number) => display(m3, "liquid-volume", system);
  const count = tank.deliveries.length;
  const empty =
    tank.hours_empty > 0
      ? ` In ${localNumber(tank.hours_empty, 0)} hours they could not carry another hour of full fire: burners stood.`
      : "";
  return (
    `${liquid(tank.burnt_m3)} burnt out of tanks of ${liquid(tank.capacity_m3)}; ` +
    `${count === 0 ? "no delivery" : count === 1 ? "one delivery" : `${count} deliveries`}; lowest ` +
    `${localNumber(100 * tank.lowest, 0)} % full, ${localNumber(tank.days_below_reserve, 0)} days below the ` +
    `${localNumber(100 * tank.reserve, 0)} % at which they are ordered again.${empty}`
  );
}

export function tankTable(tank: NonNullable<FarmYear["tank"]>, system: UnitSystem): TableModel {
  return {
    head: [
      { label: "Ordered" },
      { label: "came" },
      { label: axis("liquid", "liquid-volume", system), number },
    ],
    rows: tank.deliveries.map((one) => [
      fullDate(Math.floor(dayOf(one.ordered_at))),
      fullDate(Math.floor(dayOf(one.came_at))),
      localNumber(inUnit(one.volume_m3, "liquid-volume", system), system === "us" ? 0 : 2),
    ]),
  };
}

export function costWords(cost: NonNullable<FarmYear["cost"]>): string {
  const money = (value: number | null) => (value === null ? "not priced" : localNumber(value, 0));
  return (
    `${money(cost.total.amount)} ${cost.total.currency}: electricity ${money(cost.electricity)}, demand ${money(cost.demand)} ` +
    `(on meters of their own ${money(cost.demand_apart)}), fuel ${money(cost.fuel)}, sold wet ${money(cost.sold_wet)}`
  );
}

/** All years in one table. */
export function yearsTable(farm: Farm, system: UnitSystem): TableModel {
  const currency = farm.years.find((year) => year.cost)?.cost?.total.currency;
  const tank = farm.years.some((year) => year.tank);
  return {
    head: [
      { label: "Year" },
      { label: "bins well", number },
      { label: "failed", number },
      { label: grain(farm, "most waiting", system), number },
      { label: grain(farm, "sold wet", system), number },
      { label: axis("peak", "electric-power", system), number },
      { label: "peak, A", number },
      { label: "over the service, h", number },
      ...(tank
        ? [
            { label: axis("gas", "liquid-volume", system), number },
            { label: "deliveries", number },
            { label: "tank low, days", number },
          ]
        : []),
      ...(currency ? [{ label: `cost, ${currency}`, number }] : []),
    ],
    rows: farm.years.map((year) => {
      const of = (outcomes: string[]) =>
        String(year.bins.filter((one) => one.outcome !== null && outcomes.includes(one.outcome)).length);
      return [
        String(year.year),
        of(["met", "held"]),
        of(["failed"]),
        bare(farm, year.most_waiting_kg, system),
        bare(farm, year.sold_wet_kg, system),
        localNumber(inUnit(year.service.peak_w, "electric-power", system), 1),
        year.service.peak_a === null ? "–" : localNumber(year.service.peak_a, 0),
        localNumber(year.service.hours_over, 0),
        ...(tank
          ? [
              year.tank === null
                ? "–"
                : localNumber(inUnit(year.tank.burnt_m3, "liquid-volume", system), system === "us" ? 0 : 1),
              String(year.tank?.deliveries.length ?? 0),
              String(year.tank?.days_below_reserve ?? 0),
            ]
          : []),
        ...(currency ? [year.cost === null ? "–" : localNumber(year.cost.total.amount, 0)] : []),
      ];
    }),
    note: "Bins well: met, or held over winter as the site allows. Low: days with the tank below the share at which it is ordered again.",
  };
}

export function yearsSummary(farm: Farm, system: UnitSystem): string {
  const good = farm.years.filter((year) => year.good).length;
  const worst = farm.years.reduce<FarmYear | null>(
    (a, b) => (a && a.sold_wet_kg >= b.sold_wet_kg ? a : b),
    null,
  );
  const sold =
    worst && worst.sold_wet_kg > 0
      ? ` Most is sold wet in ${worst.year}: ${amount(farm, worst.sold_wet_kg, system)}.`
      : " Nothing is sold wet in any year.";
  return `In ${good} of ${farm.years.length} years all is stored and sound.${sold}`;
}
