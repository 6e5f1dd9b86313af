/** The JSON Schema of the site file, read as forms need it. */

import { inUnits } from "../lib/prose";
import type { UnitSystem } from "../lib/settings.svelte";
import { word } from "./words";

export interface Schema {
  type?: string;
  description?: string;
  title?: string;
  properties?: Record<string, Schema>;
  patternProperties?: Record<string, Schema>;
  required?: string[];
  items?: Schema;
  oneOf?: Schema[];
  enum?: string[];
  examples?: unknown[];
  pattern?: string;
  minimum?: number;
  maximum?: number;
  minItems?: number;
  maxItems?: number;
}

/** What kind of field a schema asks for. */
export type Form =
  | "text"
  | "words"
  | "flag"
  | "number"
  | "table"
  | "tables"
  | "names"
  | "name-or-table"
  | "named";

export function form(schema: Schema): Form {
  if (schema.oneOf) return "name-or-table";
  if (schema.enum) return "words";
  switch (schema.type) {
    case "boolean":
      return "flag";
    case "integer":
    case "number":
      return "number";
    case "array":
      return schema.items?.type === "object" ? "tables" : "names";
    case "object":
      return schema.patternProperties ? "named" : "table";
    default:
      return "text";
  }
}

/** The keys of a table: what is needed first, in the order the program asks for it, then the others. */
export function keysOf(schema: Schema): [string, Schema][] {
  const properties = schema.properties ?? {};
  const needed = (schema.required ?? []).filter((key) => key in properties);
  const others = Object.keys(properties).filter((key) => !needed.includes(key));
  return [...needed, ...others].map((key) => [key, properties[key] ?? {}]);
}

/** What a field takes, in the reader's units, and how a value may be written. */
export function help(schema: Schema, units: UnitSystem, at = ""): string {
  const hint = example(schema, units);
  const said = inUnits(inWords(schema, at), units);
  return hint === undefined ? said : `${said} For example ${hint}.`.trim();
}

/** The description, its default and other choices named as the form names them; `at` is the table and key it belongs to. */
export function inWords(schema: Schema, at: string): string {
  const said = schema.description ?? "";
  const named = (choice: string) => {
    if (schema.type === "boolean") return choice === "true" ? "yes" : choice === "false" ? "no" : null;
    return schema.enum?.includes(choice) ? word(choice, at) : null;
  };
  return said.replace(/\bDefault ([a-z-]+)\b/g, (whole, choice: string) => {
    const words = named(choice);
    return words === null ? whole : `Left out: ${words}`;
  });
}

const US_UNIT = /\d\s*(ft2?|in2?|°F|F|lb\b.*|bu|Btu\/h|hp|cfm|inHg|\$.*|USD.*)$/;

/** The example that a reader of these units would write. */
export function example(schema: Schema, units: UnitSystem): string | undefined {
  const all = (schema.examples ?? []).map(String);
  return all.find((text) => US_UNIT.test(text) === (units === "us")) ?? all[0];
}

/** A key joined to a path, in quotes where its letters ask for them. */
export function join(path: string, key: string): string {
  const written = /^[A-Za-z0-9_-]+$/.test(key) ? key : `"${key}"`;
  return path === "" ? written : `${path}.${written}`;
}

/** Whether a path is that place or lies inside it. */
export function within(path: string, place: string): boolean {
  return path === place || (path.startsWith(place) && /^[.[]/.test(path.slice(place.length)));
}

/** Names of the tables directly below a place, in order of appearance. */
export function names(paths: string[], place: string): string[] {
  const found: string[] = [];
  for (const path of paths) {
    if (!within(path, place) || path === place) continue;
    const match = /^\.(?:"([^"]*)"|([A-Za-z0-9_-]+))/.exec(path.slice(place.length));
    const name = match?.[1] ?? match?.[2];
    if (name !== undefined && !found.includes(name)) found.push(name);
  }
  return found;
}

/** How many entries a list has. */
export function entries(paths: string[], place: string): number {
  let most = 0;
  for (const path of paths) {
    if (!path.startsWith(`${place}[`)) continue;
    const number = Number.parseInt(path.slice(place.length + 1), 10);
    if (Number.isFinite(number)) most = Math.max(most, number + 1);
  }
  return most;
}
