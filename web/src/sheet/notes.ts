/** The numbered notes of the drawing: what stands where, and the columns of grain with their letters. */
import type { BinSurvey } from "../api/types";
import { display, inUnit, shown } from "../lib/quantity";
import type { UnitSystem } from "../lib/settings.svelte";
import { counted } from "./block";
import { columnName } from "./grain";

export type Spot = "fan" | "burner" | "floor" | "vents" | "column";

export interface KeyNote {
  sign: string;
  text: string;
  at: Spot;
}

/** A motor by its rating, which is a round number in one of the two systems. */
function power(watts: number, units: UnitSystem): string {
  const { unit } = shown("shaft-power", units);
  const value = inUnit(watts, "shaft-power", units);
  return `${value.toLocaleString(undefined, { maximumFractionDigits: 1 })}\u00a0${unit}`;
}

export function keyNotes(bin: BinSurvey, units: UnitSystem): KeyNote[] {
  const { fans, burner, floor, vent_area_m2, columns, suction } = bin.drawing;
  const notes: KeyNote[] = [];
  const add = (at: Spot, text: string) => notes.push({ sign: String(notes.length + 1), text, at });
  if (fans.length > 0) {
    const motors = fans.map((fan) => fan.motor_power_w);
    const motor = motors.every((power) => power === motors[0]) ? motors[0] : undefined;
    const each = motor === undefined ? "" : `, motor${fans.length > 1 ? "s of" : ""} ${power(motor, units)}`;
    const way = suction ? ", drawing down" : "";
    add("fan", `${counted(fans.map((fan) => fan.id))}${each}${way}`);
  }
  if (burner) {
    const place = burner.side === "discharge" ? "between fan and plenum" : "at the inlet of the fan";
    add("burner", `${burner.id}, ${place}`);
  }
  if (floor) add("floor", floor);
  if (vent_area_m2 !== null) add("vents", `roof vents, ${display(vent_area_m2, "area", units)} free`);
  if (columns.length > 1) {
    columns.forEach(([area, air], i) => {
      const share = display(area, "fraction", units);
      const of = air.toLocaleString(undefined, { minimumFractionDigits: 2, maximumFractionDigits: 2 });
      notes.push({
        sign: String.fromCharCode(97 + i),
        text: `${columnName(i, columns.length)} column: ${share} of the floor, ${of} of the mean air`,
        at: "column",
      });
    });
  }
  return notes;
}
