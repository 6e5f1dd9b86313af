/** Seasons that were fetched for a page, by version, bin and year. */
import { aborted } from "../../api/client";
import type { Coloured } from "../../lib/colour";
import { map, type Season, season } from "./load";

export interface Which {
  bin: string;
  year: number | null;
  seq: number;
}

/** Seasons kept; one looks at two at a time and goes back and forth. */
const MOST = 6;

export class SeasonShelf {
  /** What is there, by key. */
  seasons = $state.raw<ReadonlyMap<string, Season>>(new Map());
  failure = $state<string | null>(null);
  readonly #site: string;
  readonly #asked = new Map<string, AbortController>();

  constructor(site: string) {
    this.#site = site;
  }

  static key(which: Which): string {
    return `${which.seq}/${which.bin}/${which.year ?? "last"}`;
  }

  get(which: Which): Season | null {
    return this.seasons.get(SeasonShelf.key(which)) ?? null;
  }

  /** Sees to it that a season and one of its maps are here. What is asked already is not asked twice. */
  async want(which: Which, quantity: Coloured): Promise<void> {
    const key = SeasonShelf.key(which);
    const asking = `${key}/${quantity}`;
    const known = this.seasons.get(key);
    if (known?.maps[quantity] || this.#asked.has(asking)) return;
    const abort = new AbortController();
    this.#asked.set(asking, abort);
    try {
      const view = known?.view ?? (await season(this.#site, which, abort.signal));
      this.#put(key, { view, maps: this.seasons.get(key)?.maps ?? {} });
      const got = await map(view, quantity, abort.signal);
      this.#put(key, { view, maps: { ...this.seasons.get(key)?.maps, [quantity]: got } });
      this.failure = null;
    } catch (error) {
      if (!aborted(error)) this.failure = error instanceof Error ? error.message : String(error);
    } finally {
      this.#asked.delete(asking);
    }
  }

  /** Calls off everything that is under way. */
  stop(): void {
    for (const abort of this.#asked.values()) abort.abort();
    this.#asked.clear();
  }

  #put(key: string, season: Season): void {
    const next = new Map(this.seasons);
    next.delete(key);
    next.set(key, season);
    while (next.size > MOST) next.delete(next.keys().next().value ?? "");
    this.seasons = next;
  }
}
