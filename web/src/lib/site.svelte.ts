/** The site that is open: its text and version, what the program says of it, and the changes not yet let go. */
import { ApiError, json, send } from "../api/client";
import type { BinSurvey, Change, Diagnostic, Field, Program, Site, Survey } from "../api/types";
import { Live, type Question, type View } from "./live.svelte";
import { type Known, type Verdict, verdicts } from "./verdicts.svelte";

/** What a page may ask beside base and changes. */
export type Ask = Pick<Question, "bin" | "year" | "refine">;

/** Model and library as one text; null when they cannot be had. */
async function ground(): Promise<string | null> {
  try {
    const [program, kept] = await Promise.all([
      json<Program>("program"),
      json<{ kind: string; name: string; sha256: string }[]>("library"),
    ]);
    const files = kept.body.map(({ kind, name, sha256 }) => `${kind}/${name} ${sha256}`).sort();
    return [program.body.model, ...files].join("\n");
  } catch {
    return null;
  }
}

export class OpenSite {
  readonly id: string;
  site = $state.raw<Site | null>(null);
  fields = $state.raw<Field[]>([]);
  /** What the program says of the text as saved. */
  survey = $state.raw<Survey | null>(null);
  diagnostics = $state.raw<Diagnostic[]>([]);
  /** Changes under the hand, not saved. */
  pending = $state.raw<Change[]>([]);
  /** Another window saved in between; the changes here were refused. */
  conflict = $state<string | null>(null);
  /** Why the site cannot be shown. */
  failure = $state<string | null>(null);
  /** Why the last thing asked was not done. */
  trouble = $state<string | null>(null);
  busy = $state(false);
  /** What a verdict rests on beside the text: the model, and what the library holds. */
  #ground = $state<string | null>(null);
  /** A text being written and not saved, kept while other pages are looked at. */
  draftText: string | null = null;
  readonly live = new Live();
  #etag: string | null = null;
  #last: Promise<unknown> = Promise.resolve();

  constructor(id: string) {
    this.id = id;
  }

  get #path(): string {
    return `sites/${encodeURIComponent(this.id)}`;
  }

  /** What is to be shown now: the answer under the hand, else that of the text as saved. */
  get shown(): Survey | null {
    return this.pending.length > 0 ? (this.live.survey ?? this.survey) : this.survey;
  }

  /** What is wrong with what is shown. */
  get said(): Diagnostic[] {
    return this.pending.length > 0 ? this.live.diagnostics : this.diagnostics;
  }

  /** A bin of what is shown; the first one when none is named. */
  bin(name: string | null): BinSurvey | null {
    const bins = this.shown?.bins ?? [];
    return bins.find((bin) => bin.bin === name) ?? bins[0] ?? null;
  }

  /** The last verdict on a bin, if it is of the text as saved or an earlier one. */
  verdict(bin: string): Known {
    return verdicts.of(this.id, bin, this.site?.sha256 ?? null, this.#ground);
  }

  /** Keeps a verdict on the text as saved. */
  judged(bin: string, verdict: Verdict): void {
    if (this.site && this.#ground !== null) {
      verdicts.keep(this.id, bin, this.site.sha256, this.#ground, verdict);
    }
  }

  /** Fetches the site and everything said of it. */
  async open(): Promise<void> {
    this.busy = true;
    try {
      const { body, etag } = await json<Site>(this.#path);
      await this.#took(body, etag);
    } catch (error) {
      this.#failed(error);
    } finally {
      this.busy = false;
    }
  }

  /** Fetches it again if another window has saved meanwhile; what is under the hand here stays. */
  async refresh(): Promise<void> {
    if (!this.site || this.busy) return;
    try {
      const { body, etag } = await json<Site>(this.#path);
      if (body.seq !== this.site?.seq || body.name !== this.site?.name) await this.#took(body, etag);
    } catch {
      // The next thing asked for will say so.
    }
  }

  /** A drag: shows what the changes would do and saves nothing. */
  drag(changes: Change[], view: View, ask: Ask = {}): void {
    if (!this.site) return;
    this.pending = changes;
    this.live.ask({ base: { site: this.id, seq: this.site.seq }, changes, view, ...ask });
  }

  /** Asks about the text as saved. */
  ask(view: View, ask: Ask = {}): void {
    this.drag([], view, ask);
  }

  /** Lets go: saves the changes as a version. */
  async settle(changes: Change[], note?: string): Promise<boolean> {
    return this.#write("POST", "/changes", { json: { changes, ...(note ? { note } : {}) } });
  }

  /** Drops the changes under the hand. */
  drop(): void {
    this.pending = [];
    this.live.stop();
  }

  /** Saves a whole text, byte for byte. */
  async saveText(text: string): Promise<boolean> {
    return this.#write("PUT", "/text", { text });
  }

  async undo(): Promise<boolean> {
    return this.#write("POST", "/undo", {});
  }

  async redo(): Promise<boolean> {
    return this.#write("POST", "/redo", {});
  }

  async restore(seq: number): Promise<boolean> {
    return this.#write("POST", `/versions/${seq}/restore`, {});
  }

  async rename(name: string): Promise<boolean> {
    return this.#write("PUT", "/name", { json: { name } });
  }

  /** Writes wait for each other: each must carry the version that the one before it made. */
  #write(method: "POST" | "PUT", path: string, body: { json?: unknown; text?: string }): Promise<boolean> {
    const written = this.#last.then(() => this.#writeNow(method, path, body));
    this.#last = written;
    return written;
  }

  async #writeNow(
    method: "POST" | "PUT",
    path: string,
    body: { json?: unknown; text?: string },
  ): Promise<boolean> {
    this.busy = true;
    try {
      const { body: site, etag } = await json<Site>(this.#path + path, { method, etag: this.#etag, ...body });
      await this.#took(site, etag);
      this.drop();
      this.trouble = null;
      return true;
    } catch (error) {
      this.#failed(error);
      return false;
    } finally {
      this.busy = false;
    }
  }

  async #took(site: Site, etag: string | null): Promise<void> {
    this.#etag = etag ?? `"${site.seq}-${site.sha256}"`;
    const [fields, checked, rests] = await Promise.all([
      json<Field[]>(`${this.#path}/fields`)
        .then((answer) => answer.body)
        .catch(() => [] as Field[]),
      send("check", { method: "POST", json: { text: site.text } }).then(
        (answer) => answer.json() as Promise<{ diagnostics: Diagnostic[]; survey: Survey | null }>,
      ),
      ground(),
    ]);
    this.#ground = rests;
    this.site = site;
    this.fields = fields;
    this.survey = checked.survey;
    this.diagnostics = checked.diagnostics;
    this.conflict = null;
    this.failure = null;
    this.trouble = null;
  }

  #failed(error: unknown): void {
    const said = error instanceof Error ? error.message : String(error);
    if (!(error instanceof ApiError)) this.trouble = said;
    else if (error.status === 412) this.conflict = said;
    else if (error.status === 404 || error.status === 410) this.failure = said;
    else if (error.about.length > 0) this.diagnostics = error.about;
    else this.trouble = said;
    if (!this.site) this.failure = said;
  }
}
