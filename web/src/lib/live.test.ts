import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { Live, type Question } from "./live.svelte";

/** One answer under the hand of the test. */
interface Answer {
  question: Question & { slot: string };
  signal: AbortSignal;
  send: (event: string, data: unknown) => void;
  end: () => void;
}

let answers: Answer[];
let frames: (() => void)[];

beforeEach(() => {
  answers = [];
  frames = [];
  vi.stubGlobal("requestAnimationFrame", (work: () => void) => frames.push(work));
  vi.stubGlobal("cancelAnimationFrame", (at: number) => {
    frames[at - 1] = () => {};
  });
  vi.stubGlobal("fetch", async (_: string, init: RequestInit) => {
    const signal = init.signal as AbortSignal;
    let push: ReadableStreamDefaultController<Uint8Array>;
    const body = new ReadableStream<Uint8Array>({
      start(controller) {
        push = controller;
        signal.addEventListener("abort", () =>
          controller.error(new DOMException("called off", "AbortError")),
        );
      },
    });
    answers.push({
      question: JSON.parse(String(init.body)),
      signal,
      send: (event, data) =>
        push.enqueue(new TextEncoder().encode(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`)),
      end: () => push.close(),
    });
    return new Response(body, { headers: { "content-type": "text/event-stream" } });
  });
});

afterEach(() => vi.unstubAllGlobals());

function frame() {
  for (const work of frames.splice(0)) work();
}

const settle = () => new Promise((done) => setTimeout(done, 5));
const question = (value_text: string): Question => ({
  base: { site: "7", seq: 1 },
  changes: [{ path: "goal.by", value_text }],
  view: "risk",
});

describe("the live slot", () => {
  it("asks once a frame, and only the last question", async () => {
    const live = new Live();
    for (const text of ["a", "b", "c"]) live.ask(question(text));
    expect(answers).toHaveLength(0);
    frame();
    await settle();
    expect(answers.map((one) => one.question.changes[0]?.value_text)).toEqual(["c"]);
    expect(answers[0]?.question.slot).not.toBe("");
  });

  it("calls the older question off and drops what still comes of it", async () => {
    const live = new Live();
    live.ask(question("old"));
    frame();
    await settle();
    answers[0]?.send("survey", { site: "old" });
    await settle();
    expect(live.survey?.site).toBe("old");
    live.ask(question("new"));
    frame();
    await settle();
    expect(answers[0]?.signal.aborted).toBe(true);
    answers[1]?.send("survey", { site: "new" });
    answers[1]?.send("year", { year: 2001 });
    answers[1]?.send("year", { year: 1999 });
    answers[1]?.end();
    await settle();
    expect(live.survey?.site).toBe("new");
    expect(live.years.map((one) => one.year)).toEqual([2001, 1999]);
    expect(live.state).toBe("done");
  });

  it("keeps the old years until the first new one is there", async () => {
    const live = new Live();
    live.ask(question("old"));
    frame();
    await settle();
    answers[0]?.send("year", { year: 1995 });
    answers[0]?.end();
    await settle();
    live.ask(question("new"));
    frame();
    await settle();
    expect(live.years.map((one) => one.year)).toEqual([1995]);
    answers[1]?.send("year", { year: 2003 });
    await settle();
    expect(live.years.map((one) => one.year)).toEqual([2003]);
  });

  it("tells what is wrong with the text apart from what is wrong with the question", async () => {
    const live = new Live();
    live.ask(question("a"));
    frame();
    await settle();
    const wrong = {
      code: "x",
      severity: "error",
      found: "no date",
      at: { file: "site.toml", field: "goal.by" },
    };
    answers[0]?.send("problem", { status: 422, title: "no", detail: "no date", diagnostics: [wrong] });
    await settle();
    expect(live.diagnostics.map((one) => one.found)).toEqual(["no date"]);
    answers[0]?.send("problem", {
      status: 503,
      title: "late",
      detail: "answer that took too long",
      diagnostics: [{ ...wrong, at: { file: "request" } }],
    });
    await settle();
    expect(live.problem).toBe("answer that took too long");
  });

  it("stops when it is told to, before and after asking", async () => {
    const live = new Live();
    live.ask(question("a"));
    live.stop();
    frame();
    await settle();
    expect(answers).toHaveLength(0);
    live.ask(question("b"));
    frame();
    await settle();
    live.stop();
    expect(answers[0]?.signal.aborted).toBe(true);
    expect(live.state).toBe("idle");
  });
});
