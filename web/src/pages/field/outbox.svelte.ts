/** What was entered beside a bin, kept in this browser until the program has acknowledged it.
 *
 * Every entry is written to the browser's storage, each under a key of its own, before anything else happens; ids are made
 * here, so that an entry sent twice is kept once. What the program refuses stays, with the reason. */
import { ApiError, json, send } from "../../api/client";
import type { Diagnostic } from "../../api/types";
import type { Kept } from "./shapes";

export interface Entry {
  id: string;
  visit: string;
  bin: string;
  field: string;
  value: string;
  at: string;
  /** Grows with every entry: what replaces another must come after it, also within one second. */
  order: number;
  by: string;
  instrument: string;
  note: string;
  replaces: string | null;
  /** `waiting` in this browser only; `kept` by the program; `refused` by it. */
  state: "waiting" | "kept" | "refused";
  /** To be taken back at the program once it is there. */
  withdraw: boolean;
  /** Why it was refused. */
  why: string;
}

/** Where entries are written; the browser's own storage, or something like it in tests. */
export type Shelf = Pick<Storage, "getItem" | "setItem" | "removeItem" | "key" | "length">;

const AT_ONCE = 100;
const RETRY = 4000;

export class Outbox {
  entries = $state.raw<readonly Entry[]>([]);
  /** Why nothing gets through just now; null while all is well. */
  trouble = $state<string | null>(null);
  sending = $state(false);
  /** The browser does not keep what is entered: to be told at once. */
  unsafe = $state(false);
  readonly #prefix: string;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #again = false;

  constructor(
    readonly site: string,
    readonly shelf: Shelf,
  ) {
    this.#prefix = `binwright.field.${site}.`;
    this.read();
  }

  /** All entries as they stand in the browser; another tab may have written some. */
  read(): void {
    const found: Entry[] = [];
    for (let i = 0; i < this.shelf.length; i++) {
      const key = this.shelf.key(i);
      if (!key?.startsWith(this.#prefix)) continue;
      try {
        found.push(JSON.parse(this.shelf.getItem(key) ?? "") as Entry);
      } catch {
        // Not an entry of ours.
      }
    }
    this.entries = found.sort((a, b) => a.order - b.order || a.id.localeCompare(b.id));
  }

  get waiting(): readonly Entry[] {
    return this.entries.filter((one) => one.state === "waiting" || (one.withdraw && one.state === "kept"));
  }

  /** What stands of a field in a visit, in the order it was entered. */
  standing(visit: string, field: string): readonly Entry[] {
    const replaced = new Set(
      this.entries.filter((one) => one.state !== "refused").map((one) => one.replaces),
    );
    return this.entries.filter(
      (one) =>
        one.visit === visit &&
        one.field === field &&
        !one.withdraw &&
        one.state !== "refused" &&
        !replaced.has(one.id),
    );
  }

  refused(visit: string, field: string): readonly Entry[] {
    return this.entries.filter(
      (one) => one.visit === visit && one.field === field && one.state === "refused" && !one.withdraw,
    );
  }

  /** Keeps an entry here, then sends it. */
  add(entry: Omit<Entry, "id" | "order" | "state" | "withdraw" | "why">): void {
    const order = Math.max(Date.now(), 1 + (this.entries.at(-1)?.order ?? 0));
    this.#write({ ...entry, id: unique(), order, state: "waiting", withdraw: false, why: "" });
    void this.send();
  }

  /** Takes an entry back. What the program may have seen is taken back there too. */
  takeBack(entry: Entry): void {
    if (entry.state === "refused") this.#forget(entry);
    else this.#write({ ...entry, withdraw: true });
    void this.send();
  }

  /** Entries of other visits that the program has are not kept here any longer. */
  clear(visit: string): void {
    for (const one of this.entries) {
      if (one.visit !== visit && one.state === "kept" && !one.withdraw) this.#forget(one);
    }
  }

  /** Sends what waits; tries again by itself until everything is through. */
  async send(): Promise<void> {
    if (this.sending) {
      this.#again = true;
      return;
    }
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    this.sending = true;
    try {
      do {
        this.#again = false;
        await this.#sendNow();
      } while (this.#again);
      this.trouble = null;
    } catch (error) {
      this.trouble = error instanceof Error ? error.message : String(error);
      this.#timer = setTimeout(() => void this.send(), RETRY);
    } finally {
      this.sending = false;
    }
  }

  stop(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
  }

  async #sendNow(): Promise<void> {
    const path = `sites/${encodeURIComponent(this.site)}/readings`;
    let batch = this.entries.filter((one) => one.state === "waiting").slice(0, AT_ONCE);
    while (batch.length > 0) {
      const readings = batch.map(({ id, visit, bin, field, value, at, by, instrument, note, replaces }) => ({
        id,
        visit,
        bin,
        field,
        value,
        at,
        by,
        instrument,
        note,
        replaces,
      }));
      const { body } = await json<Kept>(path, { method: "POST", json: { readings } });
      for (const told of body.readings) {
        // As it stands now: it may have been taken back while it was under way.
        const entry = this.entries.find((one) => one.id === told.id);
        if (!entry) continue;
        const why = (told.diagnostics as unknown as Diagnostic[]).map(reason).join("; ");
        if (told.outcome !== "refused") this.#write({ ...entry, state: "kept" });
        else if (entry.withdraw) this.#forget(entry);
        else this.#write({ ...entry, state: "refused", why });
      }
      const sent = new Set(batch.map((one) => one.id));
      batch = this.entries.filter((one) => one.state === "waiting" && !sent.has(one.id)).slice(0, AT_ONCE);
    }
    for (const one of this.entries.filter((entry) => entry.withdraw && entry.state === "kept")) {
      try {
        await send(`${path}/${encodeURIComponent(one.id)}?by=${encodeURIComponent(one.by)}`, {
          method: "DELETE",
        });
      } catch (error) {
        if (!(error instanceof ApiError && error.status === 404)) throw error;
      }
      this.#forget(one);
    }
  }

  #write(entry: Entry): void {
    try {
      this.shelf.setItem(this.#prefix + entry.id, JSON.stringify(entry));
    } catch {
      this.unsafe = true;
    }
    const others = this.entries.filter((one) => one.id !== entry.id);
    const known = this.entries.some((one) => one.id === entry.id);
    this.entries = known
      ? this.entries.map((one) => (one.id === entry.id ? entry : one))
      : [...others, entry];
  }

  #forget(entry: Entry): void {
    this.shelf.removeItem(this.#prefix + entry.id);
    this.entries = this.entries.filter((one) => one.id !== entry.id);
  }
}

function reason(one: Diagnostic): string {
  return [one.found, one.allowed, one.help].filter(Boolean).join("; ");
}

/** Unique for all time; also where the page is served without encryption, and the browser has no `randomUUID`. */
export function unique(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Now, with the offset of this machine's clock: "2026-10-16T14:03:00-05:00". */
export function instant(now: Date = new Date()): string {
  const two = (n: number) => String(Math.floor(Math.abs(n))).padStart(2, "0");
  const offset = -now.getTimezoneOffset();
  const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  const clock = `${two(now.getHours())}:${two(now.getMinutes())}:${two(now.getSeconds())}`;
  return `${day}T${clock}${offset < 0 ? "-" : "+"}${two(offset / 60)}:${two(Math.abs(offset) % 60)}`;
}
