/** Numbers with their kind, shown in the reader's units: the same table and rules as in the program. */
import units from "../generated/units.json";
import type { UnitSystem } from "./settings.svelte";

export interface Shown {
  unit: string;
  factor: number;
  offset: number;
  decimals: number;
}

export type Kind = keyof typeof units;

const TABLE: Record<string, Record<UnitSystem, Shown>> = units;

/** What stands where there is no number. */
export const NOT_REACHED = "not reached";

/** How a kind is shown; a kind this page does not know is shown as it comes. */
export function shown(kind: string, system: UnitSystem): Shown {
  return TABLE[kind]?.[system] ?? { unit: "", factor: 1, offset: 0, decimals: 2 };
}

/** The value in the unit shown. */
export function inUnit(value: number, kind: string, system: UnitSystem): number {
  const { factor, offset } = shown(kind, system);
  return value * factor + offset;
}

/** Back from the unit shown to the unit kept. */
export function fromUnit(value: number, kind: string, system: UnitSystem): number {
  const { factor, offset } = shown(kind, system);
  return (value - offset) / factor;
}

/** Exactly as the program writes it in text: point as decimal sign, no groups. */
export function show(value: number, kind: string, system: UnitSystem): string {
  const { decimals, unit } = shown(kind, system);
  return withUnit(plainNumber(inUnit(value, kind, system), decimals), unit);
}

/** The same in the reader's locale, for the page. */
export function display(value: number | null | undefined, kind: string, system: UnitSystem): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return NOT_REACHED;
  return withUnit(
    localNumber(inUnit(value, kind, system), shown(kind, system).decimals),
    shown(kind, system).unit,
  );
}

/** The number alone in the reader's locale. */
export function localNumber(value: number, decimals: number): string {
  const text = formatter(decimals).format(value);
  // "-0.0" tells a reader nothing that "0.0" does not.
  return /^[-−][^1-9]*$/.test(text) ? text.slice(1) : text;
}

/** "name, unit", for axes and heads of columns. */
export function axis(name: string, kind: string, system: UnitSystem): string {
  const { unit } = shown(kind, system);
  return unit === "" ? name : `${name}, ${unit}`;
}

const formatters = new Map<number, Intl.NumberFormat>();

function formatter(decimals: number): Intl.NumberFormat {
  let found = formatters.get(decimals);
  if (!found) {
    found = new Intl.NumberFormat(undefined, {
      minimumFractionDigits: decimals,
      maximumFractionDigits: decimals,
    });
    formatters.set(decimals, found);
  }
  return found;
}

function withUnit(number: string, unit: string): string {
  return unit === "" ? number : `${number}\u00a0${unit}`;
}

function plainNumber(value: number, decimals: number): string {
  if (Number.isNaN(value)) return "NaN";
  if (!Number.isFinite(value)) return value > 0 ? "inf" : "-inf";
  if (Math.abs(value) >= 1e12) return value.toExponential(3).replace("e+", "e");
  const text = fixed(value, decimals);
  return /^-[0.]*$/.test(text) ? text.slice(1) : text;
}

/** Like `toFixed`, but a tie of the binary value goes to the even digit, as the program rounds. */
function fixed(value: number, decimals: number): string {
  const nearest = value.toFixed(decimals);
  if (decimals > 40) return nearest;
  // A tie of the binary value ends in 5 and nothing more; twenty digits more than any such value has would show it.
  const exact = value.toFixed(decimals + 60);
  const end = exact.indexOf(".") + 1 + decimals;
  if (!/^50*$/.test(exact.slice(end))) return nearest;
  const cut = exact.slice(0, decimals === 0 ? end - 1 : end);
  return Number(cut.at(-1)) % 2 === 0 ? cut : nearest;
}
