/** The list of sites and what is done to it. A deleted site is only hidden until its time to come back has passed. */
import { ApiError, json, send } from "../api/client";
import type { Site, SiteRow } from "../api/types";

/** How long a deletion can be taken back, milliseconds. */
const GRACE = 15_000;

interface Deletion {
  row: SiteRow;
  timer: ReturnType<typeof setTimeout>;
}

export type NewSite = { from: "demo" | "blank" } | { from: "text"; text: string; name?: string };

export class Register {
  #rows = $state.raw<SiteRow[] | null>(null);
  #deletions = $state.raw<Deletion[]>([]);
  trouble = $state<string | null>(null);
  busy = $state(false);

  /** Sites in sight; null while they are not known. */
  get rows(): SiteRow[] | null {
    const gone = new Set(this.#deletions.map((one) => one.row.id));
    return this.#rows?.filter((row) => !gone.has(row.id)) ?? null;
  }

  /** Sites on their way out. */
  get deleted(): SiteRow[] {
    return this.#deletions.map((one) => one.row);
  }

  async fetch(): Promise<void> {
    await this.#try(async () => {
      this.#rows = (await json<SiteRow[]>("sites")).body;
    });
  }

  /** Makes a site; null when it was refused. */
  async make(fresh: NewSite): Promise<Site | null> {
    return this.#try(async () => (await json<Site>("sites", { method: "POST", json: fresh })).body);
  }

  async duplicate(row: SiteRow): Promise<void> {
    await this.#try(() => send(`${path(row)}/duplicate`, { method: "POST" }));
    await this.fetch();
  }

  async rename(row: SiteRow, name: string): Promise<boolean> {
    const done = await this.#try(() =>
      send(`${path(row)}/name`, { method: "PUT", json: { name }, etag: etag(row) }),
    );
    await this.fetch();
    return done !== null;
  }

  async restore(row: SiteRow, seq: number): Promise<boolean> {
    const done = await this.#try(() =>
      send(`${path(row)}/versions/${seq}/restore`, { method: "POST", etag: etag(row) }),
    );
    await this.fetch();
    return done !== null;
  }

  /** Hides a site; it is deleted when its grace is over or the page is left. */
  delete(row: SiteRow): void {
    const timer = setTimeout(() => void this.#finish(row), GRACE);
    this.#deletions = [...this.#deletions, { row, timer }];
  }

  takeBack(row: SiteRow): void {
    for (const one of this.#deletions) if (one.row.id === row.id) clearTimeout(one.timer);
    this.#deletions = this.#deletions.filter((one) => one.row.id !== row.id);
  }

  /** Deletes what is on its way out: the page is left for another one. */
  leave(): void {
    for (const { row } of this.#deletions) void this.#finish(row);
  }

  async #finish(row: SiteRow): Promise<void> {
    await this.#try(() => send(path(row), { method: "DELETE", etag: etag(row) }));
    this.#rows = this.#rows?.filter((one) => one.id !== row.id) ?? null;
    this.takeBack(row);
    // One that was refused, because another window changed it meanwhile, comes back into the list.
    if (this.trouble !== null) await this.#again();
  }

  async #again(): Promise<void> {
    const trouble = this.trouble;
    await this.fetch();
    this.trouble = trouble;
  }

  async #try<T>(work: () => Promise<T>): Promise<T | null> {
    this.busy = true;
    try {
      const done = await work();
      this.trouble = null;
      return done;
    } catch (error) {
      this.trouble = words(error);
      return null;
    } finally {
      this.busy = false;
    }
  }
}

function path(row: SiteRow): string {
  return `sites/${encodeURIComponent(row.id)}`;
}

function etag(row: SiteRow): string {
  return `"${row.seq}-${row.sha256}"`;
}

function words(error: unknown): string {
  if (error instanceof ApiError && error.status === 412) {
    return `${error.message}; the list is fetched again, look at it and do it once more`;
  }
  return error instanceof Error ? error.message : String(error);
}
