/** Starts the built program with a data folder of its own before the first test, and ends it after the last.
 *
 * BINWRIGHT_PROGRAM names the program (default: the release build of this workspace); BINWRIGHT_URL names one that runs
 * already, and then none is started. */
import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import type { TestProject } from "vitest/node";

declare module "vitest" {
  interface ProvidedContext {
    address: string;
  }
}

const PATIENCE = 30_000;

/** The built program. */
export const PROGRAM =
  process.env.BINWRIGHT_PROGRAM ??
  join(process.env.CARGO_TARGET_DIR ?? resolve(import.meta.dirname, "../../target"), "release/binwright");

export interface Running {
  address: string;
  end: () => Promise<void>;
}

/** Starts the program with a data folder, on a free port unless one is named; `end` stops it and leaves the folder. */
export async function launch(data: string, port = 0): Promise<Running> {
  const child = spawn(PROGRAM, ["serve", "--port", String(port), "--data", data], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  const end = async () => {
    child.kill("SIGTERM");
    await new Promise((done) => (child.exitCode === null ? child.once("exit", done) : done(null)));
  };
  return { address: await address(child), end };
}

/** A data folder for one run. */
export function folder(): string {
  return mkdtempSync(join(tmpdir(), "binwright-browser-"));
}

export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const already = process.env.BINWRIGHT_URL;
  if (already) {
    project.provide("address", already.replace(/\/$/, ""));
    return async () => {};
  }
  const data = folder();
  const running = await launch(data);
  project.provide("address", running.address);
  return async () => {
    await running.end();
    rmSync(data, { recursive: true, force: true });
  };
}

/** Waits for the address the program prints. */
function address(child: ChildProcess): Promise<string> {
  return new Promise((found, fail) => {
    let said = "";
    const late = setTimeout(
      () => fail(new Error(`no address in ${PATIENCE} ms; it said: ${said}`)),
      PATIENCE,
    );
    const listen = (piece: Buffer) => {
      said += piece.toString();
      const match = /https?:\/\/[\w.[\]:]+:\d+/.exec(said);
      if (!match) return;
      clearTimeout(late);
      found(match[0]);
    };
    child.stdout?.on("data", listen);
    child.stderr?.on("data", listen);
    child.once("error", fail);
    child.once("exit", (code) => fail(new Error(`the program ended with ${code}; it said: ${said}`)));
  });
}
