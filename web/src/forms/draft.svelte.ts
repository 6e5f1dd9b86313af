/** What is typed into forms and not saved yet, over what is saved. */
import type { Change, Diagnostic } from "../api/types";
import type { OpenSite } from "../lib/site.svelte";
import { within } from "./schema";

/** Paths at which the program misses a value. */
export function asked(site: OpenSite): string[] {
  return site.said.flatMap((one) =>
    one.code === "missing-key" && one.at.field !== undefined ? [one.at.field] : [],
  );
}

export class Draft {
  /** By path, as typed. */
  #typed = $state.raw<ReadonlyMap<string, string>>(new Map());
  /** By path, as saved: the reader's own spelling. */
  readonly #saved = $derived.by(
    () => new Map(this.site.fields.map((field) => [field.path, field.value_text])),
  );

  constructor(readonly site: OpenSite) {}

  /** The text of a field; undefined when the site does not have it. */
  text(path: string): string | undefined {
    return this.#typed.get(path) ?? this.#saved.get(path);
  }

  /** Every path of the site as saved. */
  get paths(): string[] {
    return [...this.#saved.keys()];
  }

  /** Every path that is said or asked for: tables that stand empty have no value yet, but something is missing in them. */
  get places(): string[] {
    return [...this.paths, ...asked(this.site)];
  }

  /** Saved values at and below a place. */
  below(place: string): [string, string][] {
    return [...this.#saved].filter(([path]) => within(path, place));
  }

  /** While typing: shows what it would do, saves nothing. */
  type(path: string, text: string): void {
    const next = new Map(this.#typed);
    if (text === (this.#saved.get(path) ?? "")) next.delete(path);
    else next.set(path, text);
    this.#typed = next;
    if (next.size === 0) this.site.drop();
    else this.site.drag(this.#changes(), "survey");
  }

  /** When a field is left: saves what was typed anywhere. */
  async leave(): Promise<void> {
    if (this.#typed.size === 0) return;
    await this.save(this.#changes());
  }

  /** Saves changes at once: choices, added and removed parts. */
  async save(changes: Change[], note?: string): Promise<boolean> {
    const typed = this.#typed;
    const saved = await this.site.settle(changes, note);
    // What was typed while it was being saved stays.
    if (saved && this.#typed === typed) this.#typed = new Map();
    return saved;
  }

  /** What is wrong at a field. */
  wrong(path: string, inside = false): Diagnostic[] {
    return this.site.said.filter(
      ({ at }) => at.field === path || (inside && at.field && within(at.field, path)),
    );
  }

  #changes(): Change[] {
    return [...this.#typed].map(([path, value_text]) => ({ path, value_text }));
  }
}
