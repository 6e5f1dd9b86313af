/** A plot of lines, bands and marks as options and data of the plotting library. */
import uPlot from "uplot";
import { inUnit, localNumber, shown } from "../lib/quantity";
import type { UnitSystem } from "../lib/settings.svelte";
import type { Palette } from "./appearance.svelte";
import { dateAndHour, dayAndMonth } from "./dates";
import { hatch, inside, mark, name, type Pen, path, stroke, veil } from "./draw";
import type { Line, PlotModel, Point, Scale } from "./model";
import type { Places, Words } from "./probe";
import { dates, decimals, numbers, step, widen } from "./ticks";

export function isDate(scale: Scale): boolean {
  return scale.kind === "date" || scale.kind === "day-and-month";
}

/** A value of an axis in the unit shown. */
export function onAxis(value: number, scale: Scale, system: UnitSystem): number {
  return isDate(scale) || scale.kind === "plain" ? value : inUnit(value, scale.kind, system);
}

/** "moisture, % w.b.". */
export function heading(scale: Scale, system: UnitSystem): string {
  if (isDate(scale) || scale.kind === "plain") return scale.label;
  const { unit } = shown(scale.kind, system);
  return unit === "" ? scale.label : `${scale.label}, ${unit}`;
}

/** A value of an axis in words. */
export function inWords(value: number, scale: Scale, system: UnitSystem): string {
  if (scale.kind === "date") return dateAndHour(value);
  if (scale.kind === "day-and-month") return dayAndMonth(value);
  if (scale.kind === "plain") return String(Math.round(value));
  const { unit, decimals: places } = shown(scale.kind, system);
  const number = localNumber(inUnit(value, scale.kind, system), places);
  return unit === "" ? number : `${number}\u00a0${unit}`;
}

export function words(model: PlotModel, system: UnitSystem): Words {
  return {
    x: (value) => inWords(value, model.x, system),
    y: (value) => inWords(value, model.y, system),
  };
}

/** Lines on common places along x. A place a line does not have is undefined, which the library draws across; a missing
 * value is null, which it does not. */
export function aligned(lines: readonly Line[], model: PlotModel, system: UnitSystem): uPlot.AlignedData {
  const places = [...new Set(lines.flatMap((line) => line.points.map((point) => point[0])))].sort(
    (a, b) => a - b,
  );
  const index = new Map(places.map((x, i) => [x, i]));
  const columns = lines.map((line) => {
    const column: (number | null | undefined)[] = new Array(places.length).fill(undefined);
    for (const [x, y] of line.points) {
      const at = index.get(x);
      if (at !== undefined) column[at] = Number.isFinite(y) ? onAxis(y, model.y, system) : null;
    }
    return column;
  });
  return [places.map((x) => onAxis(x, model.x, system)), ...columns];
}

/** Ends of an axis in the unit shown. */
export function range(values: readonly number[], scale: Scale, system: UnitSystem): [number, number] {
  const asked = [scale.low, scale.high].filter((end) => end !== undefined);
  const all = [...(scale.tight && asked.length === 2 ? [] : values), ...asked]
    .map((value) => onAxis(value, scale, system))
    .filter(Number.isFinite);
  const low = all.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high = all.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  if (scale.tight && low < high) return [low, high];
  if (isDate(scale) && low < high) return [low, high + 0.01 * (high - low)];
  return widen(low, high, 6);
}

function along(model: PlotModel, of: 0 | 1): number[] {
  const points = (model.lines ?? []).flatMap((line) => line.points.map((point) => point[of]));
  const dots = (model.dots ?? []).map((dot) => (of === 0 ? dot.x : dot.y));
  const bands = (model.bands ?? []).flatMap((band) => (of === 0 ? [...band.x] : [...band.low, ...band.high]));
  const hatches = (model.hatches ?? []).flatMap((area) => area.points.map((point) => point[of]));
  const rules = (model.rules ?? [])
    .filter((rule) => rule.along === (of === 0 ? "y" : "x"))
    .map((rule) => rule.at);
  return [...points, ...dots, ...bands, ...hatches, ...rules].filter(Number.isFinite);
}

/** How places of a plot in SI lie on its plotting box. */
export function placesOf(model: PlotModel, system: UnitSystem): (u: uPlot) => Places {
  const { factor, offset } =
    isDate(model.x) || model.x.kind === "plain" ? { factor: 1, offset: 0 } : shown(model.x.kind, system);
  return (u) => ({
    left: (x) => u.valToPos(onAxis(x, model.x, system), "x"),
    top: (y) => u.valToPos(onAxis(y, model.y, system), "y"),
    x: (left) => (u.posToVal(left, "x") - offset) / factor,
  });
}

export interface Size {
  width: number;
  height: number;
}

/** A uniform axis: light grid, numbers in the page's face, no title (the page writes it). */
export function axis(scale: Scale, side: 2 | 3, colours: Palette): uPlot.Axis {
  const time = isDate(scale);
  return {
    side,
    stroke: colours.soft,
    font: `11.5px ${colours.face}`,
    grid: { stroke: colours.grid, width: 1 },
    ticks: { stroke: colours.grid, width: 1, size: 4 },
    gap: 4,
    size: side === 2 ? 26 : (u, values) => widest(u, values, colours) + 12,
    splits: (u, _axis, low, high) => {
      // The plotting box has no size yet when the first ticks are chosen: its axes take about this much of the whole.
      const room = side === 2 ? (u.width - 60) / (time ? 72 : 76) : (u.height - 36) / 38;
      const wanted = Math.max(2, Math.min(10, Math.floor(room)));
      return time ? dates(low, high, wanted) : whole(scale, numbers(low, high, wanted));
    },
    values: (_u, splits) => {
      const by = step((splits.at(-1) ?? 0) - (splits[0] ?? 0), Math.max(1, splits.length - 1));
      return splits.map((at) => {
        if (time) return dayAndMonth(at);
        return scale.kind === "plain" ? String(Math.round(at)) : localNumber(at, decimals(by));
      });
    },
  };
}

/** Years and the like have no halves. */
function whole(scale: Scale, at: number[]): number[] {
  return scale.kind === "plain" ? at.filter(Number.isInteger) : at;
}

function widest(u: uPlot, values: string[] | null, colours: Palette): number {
  u.ctx.save();
  u.ctx.font = `11.5px ${colours.face}`;
  const width = Math.max(0, ...(values ?? []).map((text) => u.ctx.measureText(text ?? "").width));
  u.ctx.restore();
  return Math.ceil(width);
}

/** Options of the library for a model. `focus` names the line to lift out. */
export function options(
  model: PlotModel,
  system: UnitSystem,
  size: Size,
  colours: Palette,
  plugins: uPlot.Plugin[],
  focus: () => string | null,
): uPlot.Options {
  const lines = model.lines ?? [];
  const x = range(along(model, 0), model.x, system);
  const y = range(along(model, 1), model.y, system);
  const pen = (u: uPlot): Pen => ({
    ctx: u.ctx,
    ratio: uPlot.pxRatio,
    palette: colours,
    box: u.bbox,
    x: (value) => u.valToPos(onAxis(value, model.x, system), "x", true),
    y: (value) => u.valToPos(onAxis(value, model.y, system), "y", true),
  });
  return {
    ...size,
    plugins,
    legend: { show: false },
    cursor: { y: false, points: { show: false }, drag: { x: false, y: false, setScale: false } },
    padding: [10, 22, 0, 4],
    scales: { x: { time: false, range: () => x }, y: { range: () => y } },
    axes: [axis(model.x, 2, colours), axis(model.y, 3, colours)],
    series: [
      {},
      ...lines.map((line) => ({
        stroke: colours[line.look.ink],
        width: line.look.width ?? 1.5,
        dash: [...(line.look.dash ?? [])],
        points: { show: false },
      })),
    ],
    hooks: {
      drawClear: [(u) => under(pen(u), model)],
      draw: [(u) => over(pen(u), model, focus())],
    },
  };
}

function under(pen: Pen, model: PlotModel): void {
  inside(pen, () => {
    for (const band of model.bands ?? []) {
      const edge = (values: readonly number[]) => band.x.map((x, i): Point => [x, values[i] ?? Number.NaN]);
      path(pen, [...edge(band.low), ...edge(band.high).reverse()]);
      veil(pen, "blue", 0.16);
    }
    for (const area of model.hatches ?? []) {
      const first = area.points[0];
      const last = area.points.at(-1);
      if (!first || !last) continue;
      const bottom = pen.box.top + pen.box.height;
      path(pen, area.points);
      pen.ctx.lineTo(pen.x(last[0]), bottom);
      pen.ctx.lineTo(pen.x(first[0]), bottom);
      pen.ctx.closePath();
      hatch(pen, "bad");
    }
  });
}

function over(pen: Pen, model: PlotModel, focus: string | null): void {
  const { box, ratio } = pen;
  inside(pen, () => {
    for (const rule of model.rules ?? []) {
      const ink = rule.ink ?? "soft";
      pen.ctx.beginPath();
      if (rule.along === "x") {
        const y = pen.y(rule.at);
        pen.ctx.moveTo(box.left, y);
        pen.ctx.lineTo(box.left + box.width, y);
      } else {
        const x = pen.x(rule.at);
        pen.ctx.moveTo(x, box.top);
        pen.ctx.lineTo(x, box.top + box.height);
      }
      stroke(pen, { ink, width: 1.2, dash: [9, 3, 2, 3] });
    }
    const lifted = model.lines?.find((line) => line.id === focus);
    if (lifted) {
      path(pen, lifted.points);
      stroke(pen, { ...lifted.look, ink: "ink", dash: [] }, 1);
    }
  });
  for (const rule of model.rules ?? []) {
    const ink = rule.ink ?? "soft";
    if (rule.along === "x") name(pen, rule.label, box.left + 5 * ratio, pen.y(rule.at) - 8 * ratio, ink);
    else name(pen, rule.label, pen.x(rule.at) + 4 * ratio, box.top + 8 * ratio, ink);
  }
  for (const line of model.lines ?? []) {
    const last = line.points.at(-1);
    if (!last || !Number.isFinite(last[1])) continue;
    if (line.end) mark(pen, line.end, line.look.ink, pen.x(last[0]), pen.y(last[1]));
    if (line.named)
      name(pen, line.label, pen.x(last[0]) + 5 * ratio, pen.y(last[1]) - 7 * ratio, line.look.ink);
  }
  for (const dot of model.dots ?? []) {
    if (!(Number.isFinite(dot.x) && Number.isFinite(dot.y))) continue;
    mark(pen, dot.mark, dot.ink, pen.x(dot.x), pen.y(dot.y), dot.id === focus ? 12 : 8);
    if (dot.named) name(pen, dot.label, pen.x(dot.x) + 8 * ratio, pen.y(dot.y) - 9 * ratio);
  }
}
