/** Marks, rules, bands, hatches and names on the canvas of a plot, in its pixels. */
import type { Palette } from "./appearance.svelte";
import type { Look, Mark, Point } from "./model";

/** What one draws with: the canvas, its pixels a CSS pixel, the colours, and the plotting box. */
export interface Pen {
  ctx: CanvasRenderingContext2D;
  ratio: number;
  palette: Palette;
  box: { left: number; top: number; width: number; height: number };
  /** From shown values to canvas pixels. */
  x(value: number): number;
  y(value: number): number;
}

/** Draws with everything outside the plotting box cut off. */
export function inside(pen: Pen, draw: () => void): void {
  const { ctx, box } = pen;
  ctx.save();
  ctx.beginPath();
  ctx.rect(box.left, box.top, box.width, box.height);
  ctx.clip();
  draw();
  ctx.restore();
}

/** A line through places. */
export function path(pen: Pen, points: readonly Point[]): void {
  pen.ctx.beginPath();
  points.forEach(([x, y], i) => {
    if (i === 0) pen.ctx.moveTo(pen.x(x), pen.y(y));
    else pen.ctx.lineTo(pen.x(x), pen.y(y));
  });
}

export function stroke(pen: Pen, look: Look, wider = 0): void {
  const { ctx, ratio } = pen;
  ctx.strokeStyle = pen.palette[look.ink];
  ctx.lineWidth = ((look.width ?? 1.5) + wider) * ratio;
  ctx.lineJoin = "round";
  ctx.setLineDash((look.dash ?? []).map((length) => length * ratio));
  ctx.stroke();
  ctx.setLineDash([]);
}

/** A shape at a place, `size` CSS pixels across. */
export function mark(pen: Pen, shape: Mark, ink: Look["ink"], x: number, y: number, size = 8): void {
  const { ctx, ratio, palette } = pen;
  const half = 0.5 * size * ratio;
  ctx.lineWidth = 1.8 * ratio;
  ctx.strokeStyle = palette[ink];
  ctx.fillStyle = shape === "held" || shape === "ring" ? palette.paper : palette[ink];
  ctx.beginPath();
  switch (shape) {
    case "met":
    case "ring":
      ctx.arc(x, y, half, 0, 2 * Math.PI);
      break;
    case "held":
      ctx.moveTo(x, y - 1.25 * half);
      ctx.lineTo(x + 1.25 * half, y);
      ctx.lineTo(x, y + 1.25 * half);
      ctx.lineTo(x - 1.25 * half, y);
      ctx.closePath();
      break;
    case "failed":
      ctx.moveTo(x - half, y - half);
      ctx.lineTo(x + half, y + half);
      ctx.moveTo(x - half, y + half);
      ctx.lineTo(x + half, y - half);
      ctx.lineWidth = 2.2 * ratio;
      break;
    case "dot":
      ctx.rect(x - 0.8 * half, y - 0.8 * half, 1.6 * half, 1.6 * half);
      break;
  }
  if (shape !== "failed") ctx.fill();
  ctx.stroke();
}

/** A name on a field of paper, kept inside the plotting box. */
export function name(pen: Pen, text: string, x: number, y: number, ink: Look["ink"] = "ink"): void {
  const { ctx, ratio, palette, box } = pen;
  ctx.font = `${11 * ratio}px ${palette.face}`;
  ctx.textBaseline = "middle";
  ctx.textAlign = "left";
  const width = ctx.measureText(text).width;
  const left = Math.max(box.left + 2 * ratio, Math.min(x, box.left + box.width - width - 3 * ratio));
  const top = Math.max(box.top + 7 * ratio, Math.min(y, box.top + box.height - 7 * ratio));
  // A field of paper behind the letters: a halo alone lets lines strike through between them.
  ctx.fillStyle = palette.paper;
  ctx.fillRect(left - 2 * ratio, top - 6.5 * ratio, width + 4 * ratio, 13 * ratio);
  ctx.fillStyle = palette[ink];
  ctx.fillText(text, left, top);
}

/** Fills the last path with a thin veil of a colour. */
export function veil(pen: Pen, ink: Look["ink"], alpha: number): void {
  pen.ctx.globalAlpha = alpha;
  pen.ctx.fillStyle = pen.palette[ink];
  pen.ctx.fill();
  pen.ctx.globalAlpha = 1;
}

/** Fills the last path with slanting strokes. */
export function hatch(pen: Pen, ink: Look["ink"]): void {
  const { ctx, ratio, palette, box } = pen;
  ctx.save();
  ctx.clip();
  ctx.beginPath();
  const gap = 7 * ratio;
  for (let x = box.left - box.height; x < box.left + box.width; x += gap) {
    ctx.moveTo(x, box.top + box.height);
    ctx.lineTo(x + box.height, box.top);
  }
  ctx.strokeStyle = palette[ink];
  ctx.lineWidth = ratio;
  ctx.globalAlpha = 0.55;
  ctx.stroke();
  ctx.restore();
}
