import { describe, expect, it } from "vitest";
import { epochDay } from "../../plots/ticks";
import type { YearView } from "../shapes";
import {
  dayIn,
  finishModel,
  finishSummary,
  firstHour,
  type Goals,
  origin,
  yearsModel,
  yearsSummary,
  yearsTable,
} from "./model";

const goals: Goals = { first: 282, hour: 1 / 3, by: 348, target: 0.155, excess: 0.01, life: 1 };

function year(of: Partial<YearView> & { year: number }): YearView {
  return {
    outcome: "met",
    cause: null,
    cause_says: null,
    finished_at: null,
    stopped_at: null,
    days_to_target: null,
    mean_moisture_wb: 0.15,
    wettest_moisture_wb: 0.16,
    life_used: 0.4,
    line: [
      [1, 0.2],
      [20, 0.16],
      [40, 0.15],
      [60, 0.15],
    ],
    ...of,
  };
}

const met = year({
  year: 1995,
  finished_at: "1995-10-30T08:00:00-06:00",
  days_to_target: 20,
  stopped_at: "1995-11-19T08:00:00-06:00",
});
const failed = year({ year: 1996, outcome: "failed", cause: "not-dry", cause_says: "not dry in time" });

describe("days", () => {
  it("count from the first load, leap year or not", () => {
    expect(dayIn("1995-10-30T08:00:00-06:00", 1995, goals)).toBeCloseTo(20, 9);
    expect(dayIn("1996-10-30T08:00:00-06:00", 1996, goals)).toBeCloseTo(20, 9);
    expect(dayIn("1996-02-10T08:00:00-06:00", 1995, goals)).toBeCloseTo(123, 9);
  });

  it("begin at the hour of the first load, which a finished year tells", () => {
    expect(firstHour([failed, met])).toBeCloseTo(1 / 3, 9);
    expect(firstHour([failed])).toBe(0);
  });
});

describe("the years", () => {
  const model = yearsModel([failed, met], [], goals, "si");

  it("end where drying stopped; one that never did goes on to its end", () => {
    const [first, second] = model.lines ?? [];
    expect([first?.id, first?.points.length]).toEqual(["1995", 3]);
    expect([second?.id, second?.points.length]).toEqual(["1996", 4]);
  });

  it("differ by more than colour", () => {
    const [first, second] = model.lines ?? [];
    expect(first?.end).not.toBe(second?.end);
    expect(first?.look.dash).not.toEqual(second?.look.dash);
  });

  it("are held against the moisture and the day wanted", () => {
    expect(model.rules?.map((rule) => rule.at)).toEqual([0.155, epochDay(2001, 12, 15)]);
  });

  it("are summed up, with those that failed by name", () => {
    expect(yearsSummary([met, failed], 3)).toBe(
      "Of 2 weather years 1 met, 1 failed (1996). 2 of 3 years are done.",
    );
  });
});

it("finish dates stand on the axis of all years, never those that have none", () => {
  const { dots } = finishModel([met, failed], goals, "si");
  expect(dots?.length).toBe(1);
  expect(dots?.[0]?.x).toBeCloseTo(origin(goals) + 20, 9);
  expect(finishSummary([met, failed])).toContain("1 of 2 years never");
});

it("the table has a row a year in their order", () => {
  expect(yearsTable([failed, met], "us").rows.map((row) => row.slice(0, 2))).toEqual([
    ["1995", "met"],
    ["1996", "failed: not dry in time"],
  ]);
});
