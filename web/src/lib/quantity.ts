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

const COARSE: readonly string[] = ["hours", "days", "heat"];

/** Decimals of a value in the unit shown: tenths of an hour, a day or a megajoule say nothing once there are a hundred. */
function decimalsOf(number: number, kind: string, system: UnitSystem): number {
  return COARSE.includes(kind) && Math.abs(number) >= 100 ? 0 : shown(kind, system).decimals;
}

/** Exactly as the program writes it in text: point as decimal sign, no groups. */
export function show(value: number, kind: string, system: UnitSystem): string {
  const number = inUnit(value, kind, system);
  return withUnit(plainNumber(number, decimalsOf(number, kind, system)), shown(kind, system).unit);
}

/** The same in the reader's locale, for the page. */
export function display(value: number | null | undefined, kind: string, system: UnitSystem): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return NOT_REACHED;
  const number = inUnit(value, kind, system);
  return withUnit(localNumber(number, decimalsOf(number, kind, system)), shown(kind, system).unit);
}

/** Figures of an amount of heat in a sentence, because no more of it is known; see `show_in_words` of the program. */
const IN_WORDS = 3;

function inWords(value: number, kind: string, system: UnitSystem): { number: number; unit: string } | null {
  const number = inUnit(value, kind, system);
  const place = Math.floor(Math.log10(Math.abs(number))) + 1 - IN_WORDS;
  if ((kind !== "heat" && kind !== "heat-rate") || !(place > 0) || !Number.isFinite(number)) return null;
  const rounded = Math.round(number / 10 ** place) * 10 ** place;
  return { number: rounded, unit: shown(kind, system).unit };
}

/** As `show`, for a sentence. */
export function showInWords(value: number, kind: string, system: UnitSystem): string {
  const found = inWords(value, kind, system);
  return found ? withUnit(plainNumber(found.number, 0), found.unit) : show(value, kind, system);
}

/** As `display`, for a sentence. */
export function displayInWords(value: number, kind: string, system: UnitSystem): string {
  const found = inWords(value, kind, system);
  return found ? withUnit(localNumber(found.number, 0), found.unit) : display(value, kind, system);
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
