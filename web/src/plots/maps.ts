/** A map of depth and time as options of the plotting library: axes and cursor as in any plot, cells as an image. */
import uPlot from "uplot";
import type { Hues } from "../lib/colour";
import { display } from "../lib/quantity";
import type { UnitSystem } from "../lib/settings.svelte";
import type { Palette } from "./appearance.svelte";
import { axis, onAxis, placesOf, type Size } from "./chart";
import { contour } from "./contour";
import { dateAndHour, dayAndMonth } from "./dates";
import { type Pen, stroke } from "./draw";
import type { PlotModel, Scale } from "./model";
import type { Places } from "./probe";
import { edges, type Grid, paint } from "./raster";
import type { RasterWords } from "./rasterProbe";

export interface MapLook {
  /** Kind of the values. */
  kind: string;
  hues: Hues;
  low: number;
  high: number;
  /** A level drawn as a line, such as the moisture wanted. */
  limit?: { value: number; label: string } | null;
  /** Whether dates tell their year. */
  years: boolean;
}

const DEPTH: Scale = { label: "height above the floor", kind: "length" };

export function axes(look: MapLook): Pick<PlotModel, "x" | "y"> {
  return { x: { label: "date", kind: look.years ? "date" : "day-and-month" }, y: DEPTH };
}

export function mapWords(look: MapLook, system: UnitSystem): RasterWords {
  return {
    day: look.years ? dateAndHour : dayAndMonth,
    depth: (metres) => `${display(metres, "length", system)} above the floor`,
    value: (value) => display(value, look.kind, system),
  };
}

export function mapPlaces(look: MapLook, system: UnitSystem): (u: uPlot) => Places {
  return placesOf(axes(look), system);
}

/** `span` fixes the ends of the axis of time, so that maps and strips stand under one another. */
export function mapOptions(
  grid: Grid,
  look: MapLook,
  span: readonly [number, number],
  system: UnitSystem,
  size: Size,
  colours: Palette,
  plugins: uPlot.Plugin[],
): { options: uPlot.Options; data: uPlot.AlignedData } {
  const { x, y } = axes(look);
  const image = canvasOf(grid, look);
  const [low, high] = edges(grid.depths).map((depth) => onAxis(Math.max(0, depth), y, system));
  const lines = look.limit ? contour(grid.values, grid.rows, grid.columns, look.limit.value) : [];
  const draw = (u: uPlot) => {
    const pen = penOf(u, colours);
    const { ctx, box } = pen;
    const [first, last] = edges(grid.days);
    const left = u.valToPos(first, "x", true);
    const right = u.valToPos(last, "x", true);
    ctx.save();
    ctx.beginPath();
    ctx.rect(box.left, box.top, box.width, box.height);
    ctx.clip();
    ctx.imageSmoothingEnabled = false;
    ctx.drawImage(image, left, box.top, right - left, box.height);
    if (lines.length > 0) {
      const across = (right - left) / grid.columns;
      const up = box.height / grid.rows;
      const bottom = box.top + box.height;
      ctx.beginPath();
      for (const [x0, y0, x1, y1] of lines) {
        ctx.moveTo(left + (x0 + 0.5) * across, bottom - (y0 + 0.5) * up);
        ctx.lineTo(left + (x1 + 0.5) * across, bottom - (y1 + 0.5) * up);
      }
      // Ink on paper, so that the line is seen on light and on dark cells.
      stroke({ ...pen, palette: { ...pen.palette, ink: pen.palette.paper } }, { ink: "ink", width: 3.4 });
      stroke(pen, { ink: "ink", width: 1.4 });
    }
    ctx.restore();
  };
  return {
    options: {
      ...size,
      plugins,
      legend: { show: false },
      cursor: { points: { show: false }, drag: { x: false, y: false, setScale: false } },
      padding: [6, 22, 0, 4],
      scales: { x: { time: false, range: () => [...span] }, y: { range: () => [low ?? 0, high ?? 1] } },
      axes: [
        { ...axis(x, 2, colours), grid: { show: false } },
        { ...axis(y, 3, colours), grid: { show: false } },
      ],
      series: [{}, { show: false }],
      hooks: { drawClear: [draw] },
    },
    data: [[...grid.days], new Array(grid.columns).fill(null)],
  };
}

function penOf(u: uPlot, palette: Palette): Pen {
  return {
    ctx: u.ctx,
    ratio: uPlot.pxRatio,
    palette,
    box: u.bbox,
    x: (value) => u.valToPos(value, "x", true),
    y: (value) => u.valToPos(value, "y", true),
  };
}

/** The cells on a canvas of their own, one pixel a cell. */
function canvasOf(grid: Grid, look: MapLook): HTMLCanvasElement {
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, grid.columns);
  canvas.height = Math.max(1, grid.rows);
  if (grid.rows > 0 && grid.columns > 0) {
    const pixels = paint(grid, look.low, look.high, look.hues);
    canvas.getContext("2d")?.putImageData(new ImageData(pixels, grid.columns, grid.rows), 0, 0);
  }
  return canvas;
}
