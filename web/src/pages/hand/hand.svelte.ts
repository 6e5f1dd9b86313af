/** What is under the hand on a page: changes of several handles, asked about together, kept one handle at a time. */
import type { Change } from "../../api/types";
import type { OpenSite } from "../../lib/site.svelte";

export class Hand {
  /** Changes by handle that are not kept. */
  held = $state.raw<Readonly<Record<string, readonly Change[]>>>({});
  /** What was last kept, in words; null once it was undone or another thing is dragged. */
  kept = $state<string | null>(null);
  readonly #site: OpenSite;
  readonly #ask: (changes: Change[]) => void;

  /** `ask` asks the program what these changes do; none ask for the text as it stands. A page asks by itself whenever
   * the site was written. */
  constructor(site: OpenSite, ask: (changes: Change[]) => void) {
    this.#site = site;
    this.#ask = ask;
  }

  get busy(): boolean {
    return Object.keys(this.held).length > 0;
  }

  /** All changes under the hand. */
  get changes(): Change[] {
    return Object.values(this.held).flat();
  }

  /** Shows what a handle would do. */
  drag(handle: string, changes: readonly Change[]): void {
    this.held = { ...this.held, [handle]: changes };
    this.kept = null;
    this.#ask(this.changes);
  }

  /** Lets a handle go: what it changes becomes a version, unless it stands where it stood. */
  async settle(handle: string, changes: readonly Change[], note: string): Promise<void> {
    if (changes.every((change) => this.#stands(change))) {
      this.putBack(handle);
      return;
    }
    this.#without(handle);
    if (await this.#site.settle([...changes], note)) this.kept = note;
  }

  /** Keeps a handle that has been only tried. */
  async keep(handle: string, note: string): Promise<void> {
    await this.settle(handle, this.held[handle] ?? [], note);
  }

  /** Forgets a handle: as it stands in the text. */
  putBack(handle: string): void {
    this.#without(handle);
    this.#ask(this.changes);
  }

  /** Takes back what was last kept. */
  async undo(): Promise<void> {
    if (await this.#site.undo()) this.kept = null;
  }

  #without(handle: string): void {
    this.held = Object.fromEntries(Object.entries(this.held).filter(([name]) => name !== handle));
  }

  #stands({ path, value_text }: Change): boolean {
    const unquoted = (text: string) => text.trim().replace(/^"(.*)"$/, "$1");
    const field = this.#site.fields.find((known) => known.path === path);
    return field !== undefined && unquoted(field.value_text) === unquoted(value_text);
  }
}
