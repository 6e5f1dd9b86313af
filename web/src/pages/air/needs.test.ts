import { expect, it } from "vitest";
import type { BinAir, Fill } from "../../api/types";
import { shown } from "../../lib/quantity";
import { against, needs } from "./needs";
import { perTonne } from "./words";

/** Legal corn: 56 lb in a volume bushel. */
const CORN = (56 * 0.45359237) / (2150.42 * 0.0254 ** 3);

it("one cfm a bushel is the unit table's", () => {
  const need = needs("corn", CORN).find(({ purpose }) => purpose === "natural air, to 20 %");
  expect((need?.low ?? 0) * shown("specific-airflow", "us").factor).toBeCloseTo(1, 9);
});

it("a figure a tonne agrees with one a bushel of legal weight", () => {
  // 1 cfm/bu of 56 lb is 66.89 m³/h a tonne; the 62.4 of the table are of 60 lb, as its own author converts.
  expect(perTonne(1 / shown("specific-airflow", "us").factor, CORN)).toBeCloseTo(66.89, 1);
  const need = needs("corn", CORN).find(({ purpose }) => purpose === "natural air, to 22 %");
  expect((need?.low ?? 0) * shown("specific-airflow", "us").factor).toBeCloseTo(56 / 60, 2);
});

it("crops have their own, whatever their variety", () => {
  const purposes = (crop: string) => needs(crop, 770).map(({ purpose }) => purpose);
  expect(purposes("wheat-hard")).toContain("natural air, at 17 %");
  expect(purposes("corn")).not.toContain("natural air, at 17 %");
  expect(purposes("lentil").length).toBe(3);
});

it("the full bin is judged, and one without air says so", () => {
  const air = (specific_airflow_1_s: number) => ({ fills: [{ specific_airflow_1_s } as Fill] }) as BinAir;
  const need = { purpose: "", low: 0.01, high: 0.02, source: "" };
  expect([0, 0.005, 0.01, 0.015, 0.03].map((x) => against(air(x), need))).toEqual([
    "no airflow",
    "below",
    "within",
    "within",
    "above",
  ]);
});
