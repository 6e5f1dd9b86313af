/** What a site does not say yet, told as something to do and not as a fault. */
import type { Diagnostic } from "../api/types";
import { PART_NAMES, PARTS, type Part, partOf } from "./parts";
import { labelAt } from "./words";

const last = (path: string) => /([A-Za-z0-9_-]+)(?:\[\d+\])?$/.exec(path)?.[1] ?? path;

/** A missing key in a person's words; null for anything else. */
export function todo(one: Diagnostic): string | null {
  if (one.code === "no-bin") return "a first bin is to be added";
  if (one.code !== "missing-key" || one.at.field === undefined) return null;
  return `${what(one.at.field)} is still to be said`;
}

/** What is missing at a path: its label, without a capital but for names. */
function what(path: string): string {
  const name = labelAt(path, last(path));
  return /^[A-Z][a-z]/.test(name) ? name.charAt(0).toLowerCase() + name.slice(1) : name;
}

export interface ToDo {
  part: Part;
  bin: string | null;
  says: string;
}

/** All that is missing, one line for each part of the survey, in the order of its parts. */
export function todos(said: readonly Diagnostic[]): ToDo[] {
  const missing = said.filter((one) => todo(one) !== null && one.code !== "no-bin");
  const places = new Map<string, { part: Part; bin: string | null; names: string[] }>();
  for (const one of missing) {
    const field = one.at.field ?? "";
    const { part, bin } = partOf(field);
    const key = `${part} ${bin}`;
    const place = places.get(key) ?? { part, bin, names: [] };
    place.names.push(what(field));
    places.set(key, place);
  }
  return [...places.values()]
    .sort((a, b) => PARTS.indexOf(a.part) - PARTS.indexOf(b.part))
    .map(({ part, bin, names }) => ({
      part,
      bin,
      says: `${PART_NAMES[part]}${bin === null ? "" : ` ${part === "bin" ? bin : `of ${bin}`}`}: ${names.join(", ")}`,
    }));
}
