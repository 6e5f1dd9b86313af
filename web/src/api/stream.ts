/** Server-sent events over `fetch`, which unlike `EventSource` can send a body and be called off. */
import { send } from "./client";

export interface StreamEvent {
  event: string;
  data: string;
}

/** Cuts a text that arrives in pieces into events; keeps what is not complete. */
export class EventCutter {
  #rest = "";

  /** Takes a piece, gives the events it completes. */
  push(piece: string): StreamEvent[] {
    this.#rest += piece;
    const events: StreamEvent[] = [];
    for (;;) {
      const end = /\r?\n\r?\n/.exec(this.#rest);
      if (!end) return events;
      const event = parse(this.#rest.slice(0, end.index));
      this.#rest = this.#rest.slice(end.index + end[0].length);
      if (event) events.push(event);
    }
  }
}

function parse(block: string): StreamEvent | null {
  let event = "message";
  const data: string[] = [];
  for (const line of block.split(/\r?\n/)) {
    if (line === "" || line.startsWith(":")) continue;
    const colon = line.indexOf(":");
    const [name, value] =
      colon < 0 ? [line, ""] : [line.slice(0, colon), line.slice(colon + 1).replace(/^ /, "")];
    if (name === "event") event = value;
    else if (name === "data") data.push(value);
  }
  return data.length > 0 ? { event, data: data.join("\n") } : null;
}

/** Posts a body and gives the events of the answer one after the other, until its end or the signal. */
export async function* events(path: string, body: unknown, signal: AbortSignal): AsyncGenerator<StreamEvent> {
  const answer = await send(path, { method: "POST", json: body, signal, accept: "text/event-stream" });
  if (!answer.body) return;
  const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  const cutter = new EventCutter();
  try {
    for (;;) {
      const { value, done } = await reader.read();
      if (done) return;
      yield* cutter.push(value);
    }
  } finally {
    reader.releaseLock();
  }
}
