/** The catalogue of one's own in the store: fetched, changed, and every change read by the program before it is kept. */
import { ApiError, json, send } from "../api/client";
import type { Diagnostic } from "../api/types";
import { library } from "../forms/library.svelte";
import { empty, type FanForm, fansIn, withFan, withoutFan } from "./catalogue";

const PATH = "library/catalogue/catalogue";

export class OwnCatalogue {
  text = $state<string | null>(null);
  diagnostics = $state.raw<Diagnostic[]>([]);
  failure = $state<string | null>(null);
  busy = $state(false);

  get names(): string[] {
    return fansIn(this.text ?? "");
  }

  async fetch(): Promise<void> {
    try {
      const kept = (await json<{ kind: string }[]>("library")).body.some((line) => line.kind === "catalogue");
      this.text = kept ? await (await send(PATH, { accept: "text/plain" })).text() : "";
      this.failure = null;
    } catch (error) {
      this.failure = words(error);
    }
  }

  /** Puts a fan in, in place of another where one is changed; false when the program refuses it. */
  keep(form: FanForm, instead: string | null): Promise<boolean> {
    return this.#put(withFan(this.text ?? "", form, instead));
  }

  remove(name: string): Promise<boolean> {
    return this.#put(withoutFan(this.text ?? "", name));
  }

  async #put(text: string): Promise<boolean> {
    this.busy = true;
    try {
      if (empty(text)) await send(PATH, { method: "DELETE" });
      else await send(PATH, { method: "PUT", text });
      this.text = empty(text) ? "" : text;
      this.diagnostics = [];
      this.failure = null;
      await library.fetchCatalogue();
      return true;
    } catch (error) {
      const about = error instanceof ApiError ? error.about : [];
      this.diagnostics = about;
      this.failure = about.length > 0 ? null : words(error);
      return false;
    } finally {
      this.busy = false;
    }
  }
}

function words(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
