/** The sheet of a bin as questions, one at a time. */
import { display } from "../../lib/quantity";
import type { UnitSystem } from "../../lib/settings.svelte";
import type { FieldSheet, Row } from "./shapes";

export interface Question {
  /** Path as readings name it, with its number. */
  field: string;
  row: Row;
  group: string;
  /** "Sample 2: moisture". */
  name: string;
}

export const GROUPS: Readonly<Record<string, string>> = {
  state: "What is seen",
  air: "Air",
  pressure: "Pressures",
  motors: "Motors",
  traverse: "Traverse of the inlet",
  fuel: "Gas",
  sound: "Noise",
  grain: "Grain",
  instruments: "Instruments: limits of error",
};

/** Questions in the order of work. Where rows are numbered (samples, the chart) there are as many as were begun, and one more. */
export function questions(sheet: FieldSheet, entered: (field: string) => boolean): Question[] {
  const out: Question[] = [];
  const rows = sheet.rows.filter((row) => row.field !== "confirmed");
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i];
    if (!row) continue;
    const open = row.field.indexOf("[]");
    if (open < 0) {
      out.push({ field: row.field, row, group: row.group, name: numbered(row) });
      continue;
    }
    const prefix = row.field.slice(0, open);
    const table: Row[] = [];
    while (rows[i]?.field.startsWith(`${prefix}[]`)) table.push(rows[i++] as Row);
    i -= 1;
    for (let n = 0; ; n++) {
      const fields = table.map((one) => one.field.replace("[]", `[${n}]`));
      table.forEach((one, k) => {
        out.push({
          field: fields[k] ?? "",
          row: one,
          group: one.group,
          name: one.says.replace(":", ` ${n + 1}:`),
        });
      });
      if (!fields.some(entered)) break;
    }
  }
  return out;
}

/** A motor or wheel carries its number. */
function numbered(row: Row): string {
  const found = /^motors\..*\[(\d+)\]$/.exec(row.field);
  return found ? `${row.says}: fan ${Number(found[1]) + 1}` : row.says;
}

const US: readonly RegExp[] = [
  /^F$/,
  /^ft$/,
  /^in wc$/,
  /^inHg$/,
  /^cfm$/,
  /^ft\/min$/,
  /^ft2$/,
  /^psi$/,
  /^gal\/h$/,
  /^rpm$/,
];
const SI: readonly RegExp[] = [
  /^C$/,
  /^m$/,
  /^Pa$/,
  /^hPa$/,
  /^m3\/h$/,
  /^m\/s$/,
  /^m2$/,
  /^kPa$/,
  /^L\/h$/,
  /^rpm$/,
];

/** The unit a reader of these units would take first. */
export function unitOf(row: Row, system: UnitSystem): string {
  const liked = system === "us" ? US : SI;
  return row.units.find((unit) => liked.some((one) => one.test(unit))) ?? row.units[0] ?? "";
}

/** What a unit is called on the button. */
export function unitWords(unit: string): string {
  const words: Record<string, string> = {
    "in wc": "in. water",
    F: "°F",
    C: "°C",
    inHg: "in. Hg",
    ft2: "ft²",
    m2: "m²",
    "m3/h": "m³/h",
    "m3/s": "m³/s",
    "ft3/h": "ft³/h",
  };
  return words[unit] ?? unit;
}

/** A value as the program takes it: what was typed, with the unit chosen unless one was typed. */
export function valueText(row: Row, typed: string, unit: string): string {
  const text = typed.trim().replace(/^(-?\d+),(\d+)$/, "$1.$2");
  if (row.form !== "quantity" || unit === "" || /[A-Za-z%°"']/.test(text)) return text;
  return `${text} ${unit}`;
}

const CHOICES: Readonly<Record<string, string>> = {
  "with-arrow": "With the arrow",
  "against-arrow": "Against the arrow",
  off: "Off",
  lit: "Lit, at full fire",
  true: "Yes",
  false: "No",
};

export const choiceWords = (choice: string) => CHOICES[choice] ?? choice;

/** What a sound bin shows, in words; null where nothing is foretold. */
export function expectedWords(row: Row, system: UnitSystem): string | null {
  if (row.expected === null || row.kind === null) return null;
  const spread = row.kind === "temperature" ? "temperature-difference" : row.kind;
  const band = row.band === null ? "" : `, give or take ${display(row.band, spread, system)}`;
  const where = row.expected_at_m === null ? "" : `, ${display(row.expected_at_m, "length", system)} away`;
  return `${display(row.expected, row.kind, system)}${band}${where}`;
}

/** Paths of fields at the end of a sentence of the program, taken off it: the page links to the question instead. */
export function withoutPaths(text: string): { says: string; fields: string[] } {
  const found = /\s*\(([^()]*)\)\s*$/.exec(text);
  const fields = (found?.[1]?.match(/[a-z_]+\.[a-z_]+/g) ?? []) as string[];
  const says = found && fields.length > 0 ? text.slice(0, found.index) : text;
  return { says, fields };
}
