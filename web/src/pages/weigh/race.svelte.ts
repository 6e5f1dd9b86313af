/** A longer question of this page: news as they come, the answer at the end. One runs at a time in each slot. */
import { ApiError, aborted } from "../../api/client";
import { events } from "../../api/stream";
import type { Diagnostic, Problem } from "../../api/types";
import type { Progress } from "../../lib/live.svelte";
import { unique } from "../field/outbox.svelte";

export class Stream {
  running = $state(false);
  progress = $state.raw<Progress | null>(null);
  /** The last document of each event. */
  told = $state.raw<Readonly<Record<string, unknown>>>({});
  diagnostics = $state.raw<Diagnostic[]>([]);
  problem = $state<string | null>(null);
  readonly #slot = unique();
  #abort: AbortController | null = null;

  constructor(readonly path: string) {}

  async ask(question: Record<string, unknown>): Promise<void> {
    this.#abort?.abort();
    const abort = new AbortController();
    this.#abort = abort;
    this.running = true;
    this.told = {};
    this.progress = null;
    this.problem = null;
    this.diagnostics = [];
    try {
      for await (const { event, data } of events(
        this.path,
        { ...question, slot: this.#slot },
        abort.signal,
      )) {
        if (this.#abort !== abort) return;
        if (event === "progress") this.progress = JSON.parse(data) as Progress;
        else if (event === "problem") this.#failed(JSON.parse(data) as Problem);
        else if (event !== "end" && event !== "cancelled") {
          this.told = { ...this.told, [event]: JSON.parse(data) as unknown };
        }
      }
    } catch (error) {
      if (this.#abort !== abort || aborted(error)) return;
      if (error instanceof ApiError) this.#failed(error.problem);
      else this.problem = error instanceof Error ? error.message : String(error);
    } finally {
      if (this.#abort === abort) {
        this.#abort = null;
        this.running = false;
      }
    }
  }

  stop(): void {
    this.#abort?.abort();
    this.#abort = null;
    this.running = false;
  }

  #failed(problem: Problem): void {
    this.diagnostics = problem.diagnostics ?? [];
    if (this.diagnostics.length === 0) this.problem = problem.detail ?? problem.title;
  }
}
