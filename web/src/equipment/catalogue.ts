/** The catalogue of one's own as text: fans read from it, put into it and taken from it, everything else left as it is. */

export interface FanRow {
  pressure: string;
  airflow: string;
  power: string;
}

/** A fan as it is typed. Quantities carry their unit unless their column names it. */
export interface FanForm {
  name: string;
  kind: string;
  motor: string;
  /** Revolutions per minute. */
  speed: string;
  origin: string;
  source: string;
  date: string;
  rating: string;
  density: string;
  pressureUnit: string;
  airflowUnit: string;
  powerUnit: string;
  rows: FanRow[];
}

export const PRESSURE_UNITS = ["in wc", "Pa", "kPa", "mm wc"] as const;
export const AIRFLOW_UNITS = ["cfm", "m3/h", "m3/s", "L/s"] as const;
export const POWER_UNITS = ["hp", "kW", "W"] as const;
export const ORIGINS = ["published", "field-points"] as const;

export function emptyFan(us: boolean): FanForm {
  return {
    name: "",
    kind: "",
    motor: "",
    speed: "",
    origin: "published",
    source: "",
    date: "",
    rating: "",
    density: "",
    pressureUnit: us ? "in wc" : "Pa",
    airflowUnit: us ? "cfm" : "m3/h",
    powerUnit: us ? "hp" : "kW",
    rows: Array.from({ length: 5 }, () => ({ pressure: "", airflow: "", power: "" })),
  };
}

/** A name as the site file may write it: no spaces. */
export function asKey(name: string): string {
  return name
    .trim()
    .replace(/[^A-Za-z0-9._-]+/g, "-")
    .replace(/^[-.]+|-+$/g, "")
    .slice(0, 80);
}

const quoted = (text: string) => JSON.stringify(text.trim());
const withUnit = (text: string, unit: string) =>
  /^\s*[-+]?[\d.,]*\d\s*$/.test(text) ? `${text.trim().replaceAll(",", "")} ${unit}` : text.trim();
const header = (name: string) => `[fans.${/^[A-Za-z0-9_-]+$/.test(name) ? name : JSON.stringify(name)}]`;

/** Rows in which something stands. */
export function filledRows(form: FanForm): FanRow[] {
  return form.rows.filter((row) => [row.pressure, row.airflow, row.power].some((cell) => cell.trim() !== ""));
}

/** A fan as a table of the catalogue. What is left open is left out, so that the program says what is missing. */
export function fanTable(form: FanForm): string {
  const lines = [header(asKey(form.name))];
  const text = (key: string, value: string) => {
    if (value.trim() !== "") lines.push(`${key} = ${quoted(value)}`);
  };
  text("kind", form.kind);
  text("origin", form.origin);
  if (form.motor.trim() !== "") lines.push(`motor = ${quoted(withUnit(form.motor, form.powerUnit))}`);
  const speed = form.speed.trim();
  if (speed !== "") lines.push(`speed = ${/^\d+(\.\d+)?$/.test(speed) ? speed : quoted(speed)}`);
  text("source", form.source);
  text("date", form.date);
  text("rating", form.rating);
  text("rated_density", form.density);
  const rows = filledRows(form);
  if (rows.length > 0) {
    const power = rows.some((row) => row.power.trim() !== "");
    lines.push("points = [");
    for (const row of rows) {
      const cells = [
        withUnit(row.pressure, form.pressureUnit),
        withUnit(row.airflow, form.airflowUnit),
        ...(power ? [withUnit(row.power, form.powerUnit)] : []),
      ];
      lines.push(`    [${cells.map(quoted).join(", ")}],`);
    }
    lines.push("]");
  }
  return `${lines.join("\n")}\n`;
}

/** The header of a table, and of no row of points. */
const HEADER = /^[ \t]*\[{1,2}([^[\]\n,]+)\]{1,2}[ \t]*(?:#[^\n]*)?$/gm;

/** Where the table of a fan stands: from its header to the next one. */
function find(text: string, name: string): { from: number; to: number } | null {
  const heads = [...text.matchAll(HEADER)];
  const at = heads.findIndex((head) => fanOf(head[1] ?? "") === name);
  const head = heads[at];
  if (!head) return null;
  return { from: head.index, to: heads[at + 1]?.index ?? text.length };
}

function fanOf(head: string): string | null {
  const found = /^\s*fans\s*\.\s*(?:"([^"]*)"|'([^']*)'|([A-Za-z0-9_-]+))\s*$/.exec(head);
  return found ? (found[1] ?? found[2] ?? found[3] ?? null) : null;
}

/** Names of the fans in a catalogue. */
export function fansIn(text: string): string[] {
  return [...text.matchAll(HEADER)].map((head) => fanOf(head[1] ?? "")).filter((name) => name !== null);
}

/** The catalogue with a fan put in, in place of the one of the same name if there is one. */
export function withFan(text: string, form: FanForm, instead: string | null = null): string {
  const table = fanTable(form);
  const place = find(text, instead ?? asKey(form.name));
  if (place) return `${text.slice(0, place.from)}${table}${gap(text, place.to)}${text.slice(place.to)}`;
  const before = text.trimEnd();
  return before === "" ? table : `${before}\n\n${table}`;
}

/** The catalogue without a fan. */
export function withoutFan(text: string, name: string): string {
  const place = find(text, name);
  return place ? text.slice(0, place.from) + text.slice(place.to) : text;
}

const gap = (text: string, at: number) => (at < text.length ? "\n" : "");

/** Whether nothing but notes and empty lines is left. */
export function empty(text: string): boolean {
  return text.split("\n").every((line) => /^\s*(#.*)?$/.test(line));
}

/** A fan as it stands in the text, to be changed; null when it is written in a way that this form would not keep. */
export function fanFrom(text: string, name: string): FanForm | null {
  const place = find(text, name);
  if (!place) return null;
  const body = text.slice(place.from, place.to).replace(/^[^\n]*\n?/, "");
  const form: FanForm = { ...emptyFan(true), name, origin: "published", rows: [] };
  const keys: Record<string, (value: string) => void> = {
    kind: (value) => {
      form.kind = value;
    },
    motor: (value) => {
      form.motor = value;
    },
    speed: (value) => {
      form.speed = value;
    },
    origin: (value) => {
      form.origin = value;
    },
    source: (value) => {
      form.source = value;
    },
    date: (value) => {
      form.date = value;
    },
    rating: (value) => {
      form.rating = value;
    },
    rated_density: (value) => {
      form.density = value;
    },
  };
  const points = /^\s*points\s*=\s*\[([\s\S]*?)\]\s*(?:#[^\n]*)?$(?!\s*,)/m.exec(body);
  const rest = points ? body.replace(points[0], "") : body;
  for (const line of rest.split("\n")) {
    if (/^\s*(#.*)?$/.test(line)) continue;
    const found = /^\s*([a-z_]+)\s*=\s*(?:"((?:[^"\\]|\\.)*)"|([\d.]+))\s*(?:#.*)?$/.exec(line);
    const take = keys[found?.[1] ?? ""];
    if (!found || !take) return null;
    take(found[3] ?? (JSON.parse(`"${found[2]}"`) as string));
  }
  for (const row of points?.[1]?.matchAll(/\[([^\]]*)\]/g) ?? []) {
    const cells = [...(row[1] ?? "").matchAll(/"((?:[^"\\]|\\.)*)"/g)].map((cell) => cell[1] ?? "");
    form.rows.push({ pressure: cells[0] ?? "", airflow: cells[1] ?? "", power: cells[2] ?? "" });
  }
  return form;
}

/** Rows from a table that was copied elsewhere: pressure, airflow and perhaps power, a point a line. */
export function pasted(text: string): FanRow[] {
  return text
    .split(/\r?\n/)
    .map((line) => line.split(/\t|;|\s{2,}/).map((cell) => cell.trim()))
    .filter((cells) => cells.some((cell) => cell !== ""))
    .map(([pressure = "", airflow = "", power = ""]) => ({ pressure, airflow, power }));
}
