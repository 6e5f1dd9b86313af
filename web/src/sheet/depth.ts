/** The depth of the grain as a change to the text: the last lot is scaled, in the reader's own spelling. */
import type { BinSurvey, Change } from "../api/types";
import { join } from "../forms/schema";
import type { View } from "../lib/live.svelte";
import type { Ask, OpenSite } from "../lib/site.svelte";
import type { DepthHandle } from "./model";

const NUMBER = /^(\s*)([-+−]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)(.*)$/s;

/** The number a text begins with, null without one. */
export function leadingNumber(text: string): number | null {
  const match = NUMBER.exec(text);
  return match ? Number(match[2]?.replace("−", "-")) : null;
}

/** A text like "15000 bu" with its number multiplied, rounded to what a person would write. */
export function scaled(text: string, factor: number): string | null {
  const match = NUMBER.exec(text);
  const number = leadingNumber(text);
  if (!match || number === null || !Number.isFinite(number * factor)) return null;
  const value = Number((number * factor).toPrecision(4));
  return `${match[1] ?? ""}${value}${match[3] ?? ""}`;
}

/** The changes that make the grain of a bin that deep; null when its last lot is not said by depth or quantity. */
export function depthChanges(site: OpenSite, bin: BinSurvey, depth_m: number): Change[] | null {
  const lots = bin.lots.length;
  const last = bin.lots[lots - 1];
  if (!last) return null;
  const below = bin.lots[lots - 2]?.depth_after_m ?? 0;
  const at = join("bins", bin.bin);
  for (const key of ["depth", "quantity"]) {
    const path = `${at}.lots[${lots - 1}].${key}`;
    const text = site.fields.find((field) => field.path === path)?.value_text;
    const value_text = text && scaled(text, (depth_m - below) / (last.depth_after_m - below));
    if (value_text) return [{ path, value_text }];
  }
  return null;
}

/** The handle for a bin; null where nothing can be dragged. `onsettled` runs once the new depth is saved. */
export function depthHandle(
  site: OpenSite,
  name: string | null,
  view: View,
  ask: () => Ask = () => ({}),
  onsettled: () => void = () => {},
): DepthHandle | null {
  // Scaled from what is saved, not from what the last drag made of it.
  const saved = site.survey?.bins.find((bin) => bin.bin === name) ?? site.survey?.bins[0];
  if (!saved || saved.lots.length === 0 || depthChanges(site, saved, saved.depth_m) === null) return null;
  const below = saved.lots[saved.lots.length - 2]?.depth_after_m ?? 0;
  const shown = site.bin(saved.bin) ?? saved;
  return {
    value_m: shown.depth_m,
    least_m: Math.min(saved.depth_m, below + 0.1),
    most_m: Math.max(saved.eave_m, saved.depth_m),
    drag: (depth_m) => {
      const changes = depthChanges(site, saved, depth_m);
      if (changes) site.drag(changes, view, { bin: saved.bin, ...ask() });
    },
    settle: (depth_m) => {
      const changes = depthChanges(site, saved, depth_m);
      if (changes) void site.settle(changes, "grain depth").then((done) => done && onsettled());
    },
  };
}
