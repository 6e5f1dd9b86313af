import { expect, it } from "vitest";
import { questions, unitOf, valueText, withoutPaths } from "./questions";
import type { FieldSheet, Row } from "./shapes";

const row = (field: string, more: Partial<Row> = {}): Row =>
  ({
    field,
    group: field.split(".")[0] ?? "",
    says: field.includes("samples") ? "Sample: moisture" : field,
    how: "",
    form: "quantity",
    kind: null,
    units: ["in wc", "Pa"],
    choices: [],
    many: false,
    needed: false,
    expected: null,
    band: null,
    ...more,
  }) as Row;

it("numbered rows give as many questions as were begun, and one more", () => {
  const sheet = {
    rows: [row("air.outdoor"), row("grain.samples[].moisture"), row("confirmed")],
  } as FieldSheet;
  expect(questions(sheet, () => false).map((one) => one.field)).toEqual([
    "air.outdoor",
    "grain.samples[0].moisture",
  ]);
  const begun = questions(sheet, (field) => field === "grain.samples[0].moisture");
  expect(begun.map((one) => one.name)).toEqual(["air.outdoor", "Sample 1: moisture", "Sample 2: moisture"]);
});

it("a bare number takes the unit chosen, a written unit stays, a decimal comma is a point", () => {
  expect(valueText(row("pressure.plenum"), " 4,05 ", "in wc")).toBe("4.05 in wc");
  expect(valueText(row("pressure.plenum"), "1000 Pa", "in wc")).toBe("1000 Pa");
  expect(unitOf(row("pressure.plenum"), "si")).toBe("Pa");
  expect(unitOf(row("pressure.plenum"), "us")).toBe("in wc");
});

it("paths at the end of a sentence become links", () => {
  expect(withoutPaths("traverse the fan inlets (traverse.velocities and traverse.area)")).toEqual({
    says: "traverse the fan inlets",
    fields: ["traverse.velocities", "traverse.area"],
  });
  expect(withoutPaths("one leg dead (single-phasing)").says).toBe("one leg dead (single-phasing)");
});
