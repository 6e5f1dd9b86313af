/** Fetches a season and its maps. */
import { API, json, send } from "../../api/client";
import type { Coloured } from "../../lib/colour";
import { offsetOf } from "../../plots/dates";
import { type Grid, type MapHeader, readMaps } from "../../plots/raster";
import type { SeasonView } from "./shapes";

export interface SeasonMaps {
  header: MapHeader;
  grids: Grid[];
}

export interface Season {
  view: SeasonView;
  maps: Partial<Record<Coloured, SeasonMaps>>;
}

/** A season at verdict accuracy, hours included, without its maps. */
export async function season(
  site: string,
  which: { bin: string; year: number | null; seq: number },
  signal: AbortSignal,
): Promise<SeasonView> {
  const query = new URLSearchParams({ bin: which.bin, seq: String(which.seq), hourly: "true" });
  if (which.year !== null) query.set("year", String(which.year));
  const path = `sites/${encodeURIComponent(site)}/season?${query}`;
  return (await json<SeasonView>(path, { signal })).body;
}

/** One of its maps. The program names their addresses from its root; behind a reverse proxy they stand beside the page. */
export async function map(view: SeasonView, quantity: Coloured, signal: AbortSignal): Promise<SeasonMaps> {
  const address = view.maps[quantity];
  const start = address.indexOf(API);
  const path = start < 0 ? address : address.slice(start + API.length);
  const answer = await send(path, { signal, accept: "application/octet-stream" });
  const offset = offsetOf(view.started_at);
  return readMaps(await answer.arrayBuffer(), (hour) => hour / 24 + offset);
}
