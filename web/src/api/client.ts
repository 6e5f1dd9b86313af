/** Talks to the program this page came from, and to nothing else. */
import type { Diagnostic, Problem } from "./types";

/** Where the API stands, relative to the page, so that a path of a reverse proxy in front is kept. */
export const API = "api/v1/";

/** Told when the program asks for its password. */
export const signIn = { needed: () => {} };

/** An answer that is a problem; `problem` says what and where. */
export class ApiError extends Error {
  constructor(
    readonly status: number,
    readonly problem: Problem,
  ) {
    super(problem.detail ?? problem.title);
  }

  /** What is wrong with the text of a site, without what is wrong with the request that brought it. */
  get about(): Diagnostic[] {
    return (this.problem.diagnostics ?? []).filter((one) => one.at.file !== "request");
  }
}

export interface Answer<T> {
  body: T;
  etag: string | null;
}

interface Call {
  method?: "GET" | "POST" | "PUT" | "DELETE";
  json?: unknown;
  text?: string;
  bytes?: Blob;
  etag?: string | null;
  signal?: AbortSignal;
  accept?: string;
}

/** One request; problems are thrown as `ApiError`, a program that cannot be reached likewise with status 0. */
export async function send(path: string, call: Call = {}): Promise<Response> {
  const headers: Record<string, string> = { accept: call.accept ?? "application/json" };
  let body: BodyInit | undefined;
  if (call.json !== undefined) {
    headers["content-type"] = "application/json";
    body = JSON.stringify(call.json);
  } else if (call.text !== undefined) {
    headers["content-type"] = "text/plain; charset=utf-8";
    body = call.text;
  } else if (call.bytes !== undefined) {
    headers["content-type"] = "application/octet-stream";
    body = call.bytes;
  }
  if (call.etag) headers["if-match"] = call.etag;
  let answer: Response;
  try {
    answer = await fetch(API + path, {
      method: call.method ?? "GET",
      headers,
      credentials: "same-origin",
      ...(body === undefined ? {} : { body }),
      ...(call.signal ? { signal: call.signal } : {}),
    });
  } catch (cause) {
    if (cause instanceof DOMException && cause.name === "AbortError") throw cause;
    throw new ApiError(0, {
      type: "unreachable",
      title: "the program does not answer",
      status: 0,
      detail: "the program does not answer; is it still running?",
    });
  }
  if (answer.status === 401) signIn.needed();
  if (!answer.ok) throw new ApiError(answer.status, await problem(answer));
  return answer;
}

async function problem(answer: Response): Promise<Problem> {
  const plain: Problem = {
    type: "about:blank",
    title: answer.statusText || "refused",
    status: answer.status,
  };
  try {
    return { ...plain, ...((await answer.json()) as Partial<Problem>) };
  } catch {
    return plain;
  }
}

/** A request answered in JSON. */
export async function json<T>(path: string, call: Call = {}): Promise<Answer<T>> {
  const answer = await send(path, call);
  const body = (answer.status === 204 ? undefined : await answer.json()) as T;
  return { body, etag: answer.headers.get("etag") };
}

/** Whether an error is only the end of work nobody waits for any more. */
export function aborted(error: unknown): boolean {
  return error instanceof DOMException && error.name === "AbortError";
}
