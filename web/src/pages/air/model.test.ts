import { describe, expect, it } from "vitest";
import type { BinAir, Fill } from "../../api/types";
import { airModel, budgetSummary, budgetTable, fanModel, fanSummary, fillTable, motorSummary } from "./model";
import { needs } from "./needs";

function fill(of: Partial<Fill>): Fill {
  return {
    fill: 1,
    depth_m: 5,
    volume_bushels: 14_000,
    outcome: "works",
    outcome_says: "stable",
    airflow_m3_s: 8,
    specific_airflow_1_s: 0.0147,
    specific_airflow_cfm_bu: 1.1,
    velocity_m_s: 0.08,
    static_pressure_pa: 1000,
    transition_pa: 0,
    floor_pa: 40,
    spread_pa: 0,
    budget: [],
    grain_pa: 940,
    vents_pa: 20,
    shaft_power_w: 12_000,
    input_power_w: 14_000,
    motor_load: 0.9,
    fan_heat_k: 1.2,
    unstable: false,
    overload: false,
    estimated_power: false,
    outside_resistance: false,
    ...of,
  };
}

function air(fills: Fill[]): BinAir {
  return {
    bin: "north",
    crop: "corn",
    fans: ["a"],
    packing: 1.5,
    ambient_c: 10,
    ambient_relative_humidity: 0.7,
    pressure_pa: 98_000,
    bulk_density_kg_m3: 720,
    fills,
    demo: true,
    equipment: [],
    curves: {
      fan: {
        label: "a",
        // As the program gives them: most air first.
        stable: [
          [10, 0],
          [6, 1500],
        ],
        unstable: [
          [6, 1500],
          [0, 1300],
        ],
      },
      systems: fills.map((one) => ({
        label: "",
        fill: one.fill,
        points: [
          [0, 0],
          [10, 1400],
        ],
      })),
    },
  };
}

const half = fill({ fill: 0.5, depth_m: 2.5, specific_airflow_1_s: 0.036, static_pressure_pa: 500 });
const stalled = fill({
  outcome: "unstable",
  outcome_says: "unstable: left of the peak of the fan curve",
  unstable: true,
  motor_load: 1.2,
  overload: true,
});
const dead = fill({
  outcome: "beyond-curve",
  outcome_says: "beyond the fan curve: no airflow",
  airflow_m3_s: 0,
  specific_airflow_1_s: 0,
  static_pressure_pa: 0,
});

describe("fans against the grain", () => {
  it("rise along x, with the part not to be run on hatched", () => {
    const model = fanModel(air([half, fill({})]), null, "si");
    for (const line of model.lines ?? []) {
      const xs = line.points.map(([x]) => x);
      expect(xs).toEqual([...xs].sort((a, b) => a - b));
    }
    expect(model.hatches?.[0]?.points.map(([x]) => x)).toEqual([0, 6]);
  });

  it("show what was kept behind what is tried", () => {
    const ids = (before: BinAir | null) =>
      fanModel(air([fill({})]), before, "si").lines?.map((line) => line.id);
    expect(ids(null)).not.toContain("before-fan");
    expect(ids(air([fill({})]))?.slice(0, 2)).toEqual(["before-fan", "before-full"]);
  });

  it("mark a stalled fill by its shape, and leave out one without air", () => {
    const dots = fanModel(air([half, stalled, dead]), null, "si").dots ?? [];
    expect(dots.map((dot) => dot.mark)).toEqual(["met", "failed"]);
  });

  it("say how they settle, or that they do not", () => {
    expect(fanSummary(air([half, fill({})]), "si")).toContain("2 of 2 fills stable");
    expect(fanSummary(air([half, stalled]), "si")).toContain("unstable: left of the peak");
    expect(fanSummary(air([dead]), "si")).toContain("beyond the fan curve: no airflow");
  });
});

it("a table says a dash, not a nought, where no air flows", () => {
  expect(fillTable(air([dead]), "us").rows[0]?.slice(2, 6)).toEqual(["–", "–", "–", "–"]);
});

it("the parts of the pressure are the whole", () => {
  expect(budgetSummary(air([fill({})]), "si")).toContain(
    "the grain takes 94.0 %, perforated floor 4 %, roof vents 2 %",
  );
  const [row] = budgetTable(air([fill({})]), "si").rows;
  const numbers = (row ?? []).slice(1).map((cell) => Number(cell.replace(",", "")));
  expect(numbers.slice(0, 4).reduce((a, b) => a + b, 0)).toBe(numbers[4]);
});

it("air crowded at a pad or at ducts is a part of its own", () => {
  const padded = air([fill({ grain_pa: 640, spread_pa: 300 })]);
  expect(budgetSummary(padded, "si")).toContain("crowding at pad or ducts 30 %");
  const numbers = (budgetTable(padded, "si").rows[0] ?? [])
    .slice(1)
    .map((cell) => Number(cell.replace(",", "")));
  expect(numbers.slice(0, -1).reduce((a, b) => a + b, 0)).toBe(numbers.at(-1));
});

it("motors over their rating are told", () => {
  expect(motorSummary(air([half, stalled]))).toContain("120 % of the rating; overloaded at 1 of 2 fills");
});

it("lines of needs do not lie on one another", () => {
  const of = air([half, fill({})]);
  const at = (airModel(of, needs("corn", 720), "us").rules ?? [])
    .map((rule) => rule.at)
    .sort((a, b) => a - b);
  expect(at.length).toBeGreaterThan(1);
  for (let i = 1; i < at.length; i++) expect((at[i] ?? 0) - (at[i - 1] ?? 0)).toBeGreaterThan(0.002);
});
