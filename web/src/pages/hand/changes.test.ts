import { describe, expect, it } from "vitest";
import type { BinSurvey, Field, Lot } from "../../api/types";
import { dayOfYear, firstDay, monthAndDay, parts, target, toFans, toFirstDay, toMoisture } from "./changes";

const lot = (moisture_wb: number) => ({ moisture_wb }) as Lot;
const bin = { bin: "north", lots: [lot(0.2), lot(0.18)] } as BinSurvey;
const field = (path: string, value_text: string): Field => ({ path, value_text, line: 1 });
const fields = [
  field("bins.north.lots[0].from", "10-10"),
  field("bins.north.lots[1].from", "12-30"),
  field("goal.mean_moisture", "15.5 %"),
];

describe("values as written", () => {
  it("are taken apart, quoted or not", () => {
    expect(parts('"15000 bu"')).toEqual({ number: 15000, unit: "bu" });
    expect(parts("25 % db")).toEqual({ number: 25, unit: "% db" });
    expect(parts("as it comes")).toBeNull();
  });
});

describe("a day", () => {
  it("goes there and back, every day of a year", () => {
    for (let day = 0; day < 365; day++) expect(dayOfYear(monthAndDay(day))).toBe(day);
  });

  it("that is none is refused", () => {
    expect(["13-01", "00-10", "02-30", "04-31", "", "oct 10"].map(dayOfYear)).toEqual(Array(6).fill(null));
  });

  it("moves all lots alike, over the end of the year too", () => {
    const day = (firstDay(fields, bin) ?? 0) + 5;
    expect(toFirstDay(fields, bin, day).map((change) => change.value_text)).toEqual(["10-15", "01-04"]);
  });
});

it("moisture shifts all lots by as much", () => {
  expect(toMoisture(bin, 0.21).map((change) => change.value_text)).toEqual(["21 %", "19 %"]);
});

it("fans are a list of the file", () => {
  expect(toFans(bin, "demo-axial-3hp", 2)).toEqual([
    { path: "bins.north.outfit.fans", value_text: '["demo-axial-3hp", "demo-axial-3hp"]' },
  ]);
});

it("the moisture wanted is read on either basis", () => {
  expect(target(fields)).toBeCloseTo(0.155, 12);
  expect(target([field("goal.mean_moisture", "25 % db")])).toBeCloseTo(0.2, 12);
  expect(target([])).toBeNull();
});
