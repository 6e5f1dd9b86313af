import { expect, it } from "vitest";
import { knobs, knobWords, stepsAt, valueAt } from "./handles";
import type { Sound } from "./shapes";
import { levelLines, planOf } from "./yard";

const fields = [
  ["bins.south.outfit.burner.capacity", '"400000 Btu/h"'],
  ["bins.south.outfit.control.burner.temperature", '"50 F"'],
  ["fuel.tank.capacity", '"1000 gal"'],
  ["yard.dwellings[0].east", '"30 m"'],
  ["yard.dwellings[0].north", '"40 m"'],
].map(([path = "", value_text = ""], i) => ({ path, value_text, line: i }));

it("sliders stand only for what the text says, in its own units", () => {
  expect(knobs(fields, "south").map((knob) => knob.id)).toEqual(["capacity", "plenum", "tank", "dwelling"]);
  expect(knobs(fields, "north").map((knob) => knob.id)).toEqual(["tank", "dwelling"]);
  const [capacity] = knobs(fields, "south");
  if (!capacity) throw new Error("no slider");
  expect(capacity.changes(390_000)).toEqual([
    { path: "bins.south.outfit.burner.capacity", value_text: "390000 Btu/h" },
  ]);
  expect(knobWords(capacity, 390_000)).toBe("390,000\u00a0Btu/h");
});

it("the dwelling moves on its line from the yard's own point", () => {
  const dwelling = knobs(fields, "south").find((knob) => knob.id === "dwelling");
  expect(dwelling?.value).toBe(50);
  expect(dwelling?.changes(100)).toEqual([
    { path: "yard.dwellings[0].east", value_text: "60 m" },
    { path: "yard.dwellings[0].north", value_text: "80 m" },
  ]);
});

it("a tank of another capacity drops the outside measures that were said", () => {
  const said = [...fields, { path: "fuel.tank.length", value_text: '"192 in"', line: 9 }];
  const tank = knobs(said, "south").find((knob) => knob.id === "tank");
  expect(tank?.changes(500)).toEqual([
    { path: "fuel.tank.capacity", value_text: "500 gal" },
    { path: "fuel.tank.length", value_text: "" },
  ]);
  expect(tank?.changes(1000)).toHaveLength(1);
});

it("a slider that comes back to where it stood says what is kept, not the nearest step", () => {
  const odd = knobs([{ path: "fuel.tank.capacity", value_text: '"1003 gal"', line: 1 }], "south")[0];
  if (!odd) throw new Error("no slider");
  expect(valueAt(odd, stepsAt(odd, 1003))).toBe(1003);
  expect(valueAt(odd, stepsAt(odd, 1003) + 1)).not.toBe(1003);
});

it("lines of equal level lie where the level is", () => {
  const axis = [0, 10, 20, 30, 40];
  const sound = {
    plan: { east_m: axis, north_m: axis, levels_dba: axis.map(() => axis.map((east) => 70 - east)) },
  } as unknown as Sound;
  const plan = planOf(sound, 400);
  if (!plan) throw new Error("no plan");
  const lines = levelLines(sound, plan);
  expect(lines.map((line) => line.level)).toContain(55);
  const at = lines.find((line) => line.level === 55)?.at;
  // 55 dB stand 15 m east of the western edge.
  expect(at?.[0]).toBeCloseTo(plan.x(15), 6);
});
