/** The numbered notes of the drawing: what stands where, and the columns of grain with their letters. */
import type { BinSurvey } from "../api/types";
import { display, localNumber } from "../lib/quantity";
import type { UnitSystem } from "../lib/settings.svelte";
import { machines } from "./block";
import { columnName } from "./grain";

export type Spot = "fan" | "burner" | "tank" | "process" | "floor" | "vents" | "column";

export interface KeyNote {
  sign: string;
  text: string;
  /** Name of the catalogue behind it, in small print. */
  name?: string;
  at: Spot;
}

const PROCESSES: Readonly<Record<string, string>> = {
  aeration: "aeration: dry grain is cooled and held",
  batches: "batches: filled, dried, cooled and emptied, again and again",
  conditioning: "conditioning: damp air rewets the grain",
  discharge: "grain from a dryer, cooled in the bin",
};

/** What runs in the bin. */
export function process(bin: BinSurvey): string {
  const { process: runs, burner, stirred, counterflow, layered } = bin.drawing;
  const how = PROCESSES[runs] ?? `drying with ${burner ? "heated air" : "outside air"}`;
  const more = [
    ...(layered ? ["filled in layers, each when the one below is dry"] : []),
    ...(stirred ? ["stirred"] : []),
    ...(counterflow ? ["dry grain drawn from the floor"] : []),
  ];
  return [how, ...more].join("; ");
}

export function keyNotes(bin: BinSurvey, units: UnitSystem): KeyNote[] {
  const { fans, burner, tank, floor, vent_area_m2, columns, suction } = bin.drawing;
  const notes: KeyNote[] = [];
  const add = (at: Spot, text: string, name?: string) =>
    notes.push({ sign: String(notes.length + 1), text, at, ...(name === undefined ? {} : { name }) });
  if (fans.length > 0) {
    const all = machines(bin);
    add("fan", `${all.fans}${suction ? ", drawing down" : ""}`, all.names);
  }
  if (burner) {
    const place = burner.side === "discharge" ? "between fan and plenum" : "at the inlet of the fan";
    add("burner", `burner ${place}`, burner.id === "burner" ? undefined : burner.id);
  }
  if (tank) {
    const each = display(tank.capacity_m3, "liquid-volume", units);
    const many = tank.count === 1 ? `tank of ${each}` : `${tank.count} tanks of ${each} each`;
    add("tank", `${tank.fuel.replace("-", " ")} ${many}${tank.vaporizer ? ", with a vaporizer" : ""}`);
  }
  if (floor) add("floor", floor);
  if (vent_area_m2 !== null) add("vents", `roof vents, ${display(vent_area_m2, "area", units)} free`);
  add("process", process(bin));
  if (columns.length > 1) {
    columns.forEach(([area, air], i) => {
      const share = display(area, "fraction", units);
      const of = localNumber(air, 2);
      notes.push({
        sign: String.fromCharCode(97 + i),
        text: `${columnName(i, columns.length)} column: ${share} of the floor, ${of} of the mean air`,
        at: "column",
      });
    });
  }
  return notes;
}
