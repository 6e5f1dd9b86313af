/** One browser for a file of tests; every page is watched for errors and for requests that leave the program. */
import { mkdirSync } from "node:fs";
import { createRequire } from "node:module";
import { resolve } from "node:path";
import { type Browser, type BrowserContext, chromium, type Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, expect, inject } from "vitest";

const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";
const FLAGS = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

export const SCREENS = resolve(import.meta.dirname, "../../target/screens");
const AXE = createRequire(import.meta.url).resolve("axe-core/axe.min.js");

export const DESKTOP = { width: 1440, height: 900 };
export const PHONE = { width: 380, height: 780 };

let browser: Browser;
let contexts: BrowserContext[] = [];
const faults: string[] = [];

/** To be called once at the head of a file of tests. */
export function useBrowser(): void {
  beforeAll(async () => {
    mkdirSync(SCREENS, { recursive: true });
    browser = await chromium.launch({ executablePath: CHROMIUM, args: FLAGS });
  });

  afterEach(async () => {
    for (const context of contexts) await context.close();
    contexts = [];
    const found = faults.splice(0);
    expect(found, "errors in the console, or requests to elsewhere").toEqual([]);
  });

  afterAll(async () => {
    await browser.close();
  });
}

export interface Screen {
  viewport?: { width: number; height: number };
  scheme?: "light" | "dark";
  units?: "si" | "us";
  locale?: string;
}

/** A browser of its own, with nothing kept from others; pages of one reader share it. */
export async function reader(screen: Screen = {}): Promise<BrowserContext> {
  const context = await browser.newContext({
    viewport: screen.viewport ?? DESKTOP,
    colorScheme: screen.scheme ?? "light",
    locale: screen.locale ?? "en-US",
    timezoneId: "America/Chicago",
    acceptDownloads: true,
    reducedMotion: "reduce",
    ignoreHTTPSErrors: true,
  });
  const units = screen.units;
  if (units)
    await context.addInitScript((value) => {
      // The frame of a paper is sandboxed and keeps nothing.
      if (window.top !== window) return;
      if (localStorage.getItem("binwright.units") === null) localStorage.setItem("binwright.units", value);
    }, units);
  contexts.push(context);
  return context;
}

/** A page of a reader, watched. */
export async function page(context: BrowserContext, origin = inject("address")): Promise<Page> {
  const fresh = await context.newPage();
  fresh.on("console", (message) => {
    // A refused request is told by the page; the browser's own line about it is no fault of the page.
    if (message.type() === "error" && !/Failed to load resource.*(401|409|412|422)/.test(message.text())) {
      faults.push(`console: ${message.text()} at ${message.location().url}`);
    }
  });
  fresh.on("pageerror", (error) => faults.push(`page: ${error.stack ?? error.message}`));
  fresh.on("request", (request) => {
    const url = request.url();
    if (!url.startsWith(origin) && !/^(data|blob):/.test(url)) faults.push(`request to elsewhere: ${url}`);
  });
  return fresh;
}

/** Address of a place of the workbench: `at("/site/ID/air?bin=north")`. */
export function at(place = "/"): string {
  return `${inject("address")}/#${place}`;
}

/** Makes a site through the API; gives its id. */
export async function makeSite(from: "demo" | "blank" | { text: string; name?: string }): Promise<string> {
  const body = typeof from === "string" ? { from } : { from: "text", ...from };
  const answer = await fetch(`${inject("address")}/api/v1/sites`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
  });
  expect(answer.status).toBe(201);
  return ((await answer.json()) as { id: string }).id;
}

/** The text of a site, as bytes. */
export async function textOf(id: string): Promise<Buffer> {
  const answer = await fetch(`${inject("address")}/api/v1/sites/${id}/text`);
  expect(answer.ok).toBe(true);
  return Buffer.from(await answer.arrayBuffer());
}

interface Violation {
  id: string;
  help: string;
  nodes: { target: unknown[]; failureSummary?: string }[];
}

/** No violation of accessibility rules on the page as it stands. */
export async function expectAccessible(on: Page): Promise<void> {
  // Evaluated through the debugger, so that the policy of the page against foreign scripts stays on.
  const { readFileSync } = await import("node:fs");
  await on.evaluate(readFileSync(AXE, "utf8"));
  const violations = await on.evaluate(async () => {
    const axe = (globalThis as unknown as { axe: { run: () => Promise<{ violations: Violation[] }> } }).axe;
    return (await axe.run()).violations;
  });
  const told = violations.map(
    (one) => `${one.id}: ${one.help}: ${one.nodes.map((n) => `${n.target} ${n.failureSummary}`).join("; ")}`,
  );
  expect(told).toEqual([]);
}

/** Nothing sticks out at the side. */
export async function expectNoSideways(on: Page): Promise<void> {
  const [inner, outer] = await on.evaluate(() => [
    document.documentElement.scrollWidth,
    document.documentElement.clientWidth,
  ]);
  expect(inner, "the page is wider than its window").toBeLessThanOrEqual(outer ?? 0);
}

/** Screenshots of a place by day and at night, at a desk and on a phone, each checked for what sticks out. */
export async function screens(
  name: string,
  place: string,
  ready: (on: Page) => Promise<unknown>,
): Promise<void> {
  for (const [size, viewport] of Object.entries({ desktop: DESKTOP, phone: PHONE })) {
    for (const scheme of ["light", "dark"] as const) {
      const on = await page(await reader({ viewport, scheme, units: "us" }));
      await on.goto(at(place));
      await ready(on);
      await expectNoSideways(on);
      await expectAccessible(on);
      await on.screenshot({ path: `${SCREENS}/${name}-${size}-${scheme}.png`, fullPage: true });
    }
  }
}
