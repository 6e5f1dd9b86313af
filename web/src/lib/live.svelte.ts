/** The live slot of this tab: one question at a time, asked while something is dragged.
 *
 * A new question calls off the one before it, here and at the program; answers of an older question are dropped. Several
 * questions within one frame are one. */
import { ApiError, aborted } from "../api/client";
import { events } from "../api/stream";
import type { BinAir, Change, Diagnostic, ModelRange, Problem, Proof, Survey, YearLine } from "../api/types";

export type View = "survey" | "air" | "heat" | "risk" | "season";

/** What is asked. `refine` asks for verdict accuracy, as when a handle is let go. */
export interface Question {
  base: { site: string; seq: number } | { text: string };
  changes: Change[];
  view: View;
  bin?: string;
  year?: number;
  refine?: boolean;
}

/** How far a longer computation is. */
export interface Progress {
  what: string;
  done: number;
  of: number;
}

export type LiveState = "idle" | "asking" | "done" | "failed";

/** Names this tab among those of the same browser. */
const SLOT = typeof crypto === "undefined" ? "tab" : crypto.randomUUID();

export class Live {
  state = $state<LiveState>("idle");
  /** What is wrong with the text asked about; empty when it is usable. */
  diagnostics = $state.raw<Diagnostic[]>([]);
  survey = $state.raw<Survey | null>(null);
  air = $state.raw<BinAir | null>(null);
  /** Years in the order they finish. */
  years = $state.raw<YearLine[]>([]);
  risk = $state.raw<Proof | null>(null);
  range = $state.raw<ModelRange | null>(null);
  /** The document of the heat asked for; its reader knows its shape. */
  heat = $state.raw<unknown>(null);
  /** The document of the season asked for; its reader knows its shape. */
  season = $state.raw<unknown>(null);
  progress = $state.raw<Progress | null>(null);
  /** Version of the text the risk is of; null while it was not the text as saved. */
  seq = $state<number | null>(null);
  /** Milliseconds from question to end. */
  took = $state<number | null>(null);
  /** Why it failed, when not by the text. */
  problem = $state<string | null>(null);

  #abort: AbortController | null = null;
  #frame: number | null = null;
  #next: Question | null = null;

  /** Asks at the next frame; of several questions before it the last one counts. */
  ask(question: Question): void {
    this.#next = question;
    if (this.#frame !== null) return;
    this.#frame = requestAnimationFrame(() => {
      this.#frame = null;
      const next = this.#next;
      this.#next = null;
      if (next) void this.#run(next);
    });
  }

  /** Calls off what is asked; answers that are there stay. */
  stop(): void {
    if (this.#frame !== null) cancelAnimationFrame(this.#frame);
    this.#frame = null;
    this.#next = null;
    this.#abort?.abort();
    this.#abort = null;
    if (this.state === "asking") this.state = "idle";
  }

  async #run(question: Question): Promise<void> {
    this.#abort?.abort();
    const abort = new AbortController();
    this.#abort = abort;
    this.state = "asking";
    this.problem = null;
    this.progress = null;
    // Years of another question must not mix with these, but what is drawn stays until the first new one is there.
    const fresh: YearLine[] = [];
    const asked = performance.now();
    try {
      for await (const { event, data } of events("what-if", { ...question, slot: SLOT }, abort.signal)) {
        if (this.#abort !== abort) return;
        this.#take(event, data, fresh, question);
      }
      if (this.#abort !== abort) return;
      this.took = performance.now() - asked;
      this.state = "done";
    } catch (error) {
      if (this.#abort !== abort || aborted(error)) return;
      this.state = "failed";
      if (error instanceof ApiError && error.about.length > 0) {
        this.diagnostics = error.about;
      } else {
        this.problem = error instanceof Error ? error.message : String(error);
      }
    } finally {
      if (this.#abort === abort) this.#abort = null;
    }
  }

  #problem(problem: Problem): void {
    const about = new ApiError(problem.status, problem).about;
    if (about.length > 0) this.diagnostics = about;
    else this.problem = problem.detail ?? problem.title;
  }

  #take(event: string, data: string, fresh: YearLine[], question: Question): void {
    switch (event) {
      case "survey":
        this.survey = JSON.parse(data) as Survey;
        this.diagnostics = [];
        break;
      case "problem":
        this.#problem(JSON.parse(data) as Problem);
        break;
      case "progress":
        this.progress = JSON.parse(data) as Progress;
        break;
      case "air":
        this.air = JSON.parse(data) as BinAir;
        break;
      case "year":
        fresh.push(JSON.parse(data) as YearLine);
        this.years = [...fresh];
        break;
      case "risk":
        this.risk = JSON.parse(data) as Proof;
        this.seq = "seq" in question.base && question.changes.length === 0 ? question.base.seq : null;
        // The model range of another text is none of this one.
        this.range = null;
        break;
      case "range":
        this.range = JSON.parse(data) as ModelRange;
        break;
      case "heat":
        this.heat = JSON.parse(data);
        break;
      case "season":
        this.season = JSON.parse(data);
        break;
    }
  }
}
