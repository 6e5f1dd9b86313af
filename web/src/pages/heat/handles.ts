/** What a slider of the heat page moves: one number of the text, in the unit that stands there. */
import type { Change, Field } from "../../api/types";
import { join } from "../../forms/schema";
import { localNumber } from "../../lib/quantity";
import { parts, plain } from "../hand/changes";

export interface Knob {
  id: string;
  label: string;
  unit: string;
  /** As kept. */
  value: number;
  /** A step of the slider, in the unit. */
  step: number;
  least: number;
  most: number;
  changes: (value: number) => Change[];
}

/** A round step of about a hundredth of a value. */
export function stepOf(value: number): number {
  const about = Math.abs(value) / 40 || 0.1;
  const decade = 10 ** Math.floor(Math.log10(about));
  return [1, 2, 5, 10].map((n) => n * decade).find((step) => step >= about * 0.99) ?? decade;
}

/** A size that grows from nearly nothing to three times what it is. */
function size(fields: readonly Field[], path: string, id: string, label: string): Knob | null {
  const found = parts(fields.find((field) => field.path === path)?.value_text ?? "");
  if (!found || !(found.number > 0)) return null;
  const step = stepOf(found.number);
  return {
    id,
    label,
    unit: sign(found.unit),
    value: found.number,
    step,
    least: step,
    most: 3 * found.number,
    changes: (value) => [{ path, value_text: written(value, found.unit) }],
  };
}

/** A temperature, moved by twenty of its degrees either way. */
function degrees(fields: readonly Field[], path: string, id: string, label: string): Knob | null {
  const found = parts(fields.find((field) => field.path === path)?.value_text ?? "");
  if (!found) return null;
  return {
    id,
    label,
    unit: sign(found.unit),
    value: found.number,
    step: 1,
    least: found.number - 20,
    most: found.number + 40,
    changes: (value) => [{ path, value_text: written(value, found.unit) }],
  };
}

/** A unit for the eye: degrees, which a text may write as a bare letter, with their sign. */
function sign(unit: string): string {
  return unit.replace(/^[CF]$/, "°$&");
}

function written(value: number, unit: string): string {
  return `${plain(value, 4)}${unit === "" ? "" : ` ${unit}`}`;
}

/** The first dwelling, nearer or farther on the same line from the yard's own point. */
function dwelling(fields: readonly Field[]): Knob | null {
  const place = "yard.dwellings[0]";
  const straight = size(fields, `${place}.distance`, "dwelling", "Distance of the dwelling");
  if (straight) return straight;
  const text = (key: string) =>
    parts(fields.find((field) => field.path === `${place}.${key}`)?.value_text ?? "");
  const [east, north] = [text("east"), text("north")];
  if (!east || !north || east.unit !== north.unit) return null;
  const away = Math.hypot(east.number, north.number);
  if (!(away > 0)) return null;
  const step = stepOf(away);
  return {
    id: "dwelling",
    label: "Distance of the dwelling",
    unit: east.unit,
    value: away,
    step,
    least: step,
    most: 3 * away,
    changes: (value) => [
      { path: `${place}.east`, value_text: written((east.number * value) / away, east.unit) },
      { path: `${place}.north`, value_text: written((north.number * value) / away, north.unit) },
    ],
  };
}

/** A tank of another capacity has other outside measures: those that were said no longer hold, and follow the capacity. */
function tank(fields: readonly Field[]): Knob | null {
  const knob = size(fields, "fuel.tank.capacity", "tank", "Capacity of a tank");
  if (!knob) return null;
  const measures = ["fuel.tank.diameter", "fuel.tank.length"]
    .filter((path) => fields.some((field) => field.path === path))
    .map((path) => ({ path, value_text: "" }));
  return {
    ...knob,
    changes: (value) => [...knob.changes(value), ...(value === knob.value ? [] : measures)],
  };
}

/** Everything of a bin and its site that a slider can move. */
export function knobs(fields: readonly Field[], bin: string): Knob[] {
  const outfit = `${join("bins", bin)}.outfit`;
  return [
    size(fields, `${outfit}.burner.capacity`, "capacity", "Heat of the burner"),
    degrees(fields, `${outfit}.control.burner.temperature`, "plenum", "Temperature of the plenum"),
    size(fields, `${outfit}.control.burner.rise`, "rise", "Rise by the burner"),
    size(fields, `${outfit}.firing.dead_band`, "band", "Dead band of the thermostat"),
    tank(fields),
    size(fields, "fuel.line[0].length", "line", "Length of the first pipe"),
    size(fields, "power.feeder.length", "feeder", "Length of the feeder"),
    dwelling(fields),
  ].filter((knob) => knob !== null);
}

/** A knob's value from a count of steps; what is kept comes back as it stands. */
export function valueAt(knob: Knob, steps: number): number {
  return steps === stepsAt(knob, knob.value) ? knob.value : steps * knob.step;
}

export const stepsAt = (knob: Knob, value: number) => Math.round(value / knob.step);

export function knobWords(knob: Knob, value: number): string {
  const decimals = Math.max(0, Math.min(4, -Math.floor(Math.log10(knob.step))));
  const exact = Number(value.toFixed(decimals));
  return `${localNumber(exact, Number.isInteger(exact) ? 0 : decimals)}\u00a0${knob.unit}`;
}
