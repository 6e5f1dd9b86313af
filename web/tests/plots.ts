/** What every plot must let one do. */
import type { Locator } from "playwright-core";
import { expect } from "vitest";

/** Puts the hand on a place of a plot, as shares of its box, and reads there; the hand stays. */
export async function readsByHand(
  figure: Locator,
  reading: RegExp,
  [across, down]: readonly [number, number] = [0.5, 0.5],
): Promise<void> {
  const over = figure.locator(".u-over").first();
  await over.scrollIntoViewIfNeeded();
  const box = await over.boundingBox();
  if (!box) throw new Error("the plot is not there");
  await over.page().mouse.move(box.x + across * box.width, box.y + down * box.height, { steps: 3 });
  await expect.poll(() => figure.locator(".plot-tip").first().textContent()).toMatch(reading);
}

/** Reads values with the arrow keys, aloud. */
export async function readsByKeys(figure: Locator, reading: RegExp): Promise<string> {
  const stage = figure.getByRole("application").first();
  await stage.focus();
  await stage.press("End");
  await stage.press("ArrowLeft");
  const heard = figure.locator("[aria-live=polite]").first();
  await expect.poll(() => heard.textContent()).toMatch(reading);
  const first = await heard.textContent();
  await stage.press("ArrowLeft");
  await expect.poll(() => heard.textContent()).not.toBe(first);
  return (await heard.textContent()) ?? "";
}

/** Opens the table behind a plot and closes nothing: it has at least so many rows under its heads. */
export async function showsTable(figure: Locator, rows: number): Promise<Locator> {
  await figure.getByRole("button", { name: /^Show as table/ }).press("Enter");
  const table = figure.getByRole("table");
  await table.waitFor();
  expect(await table.locator("tbody tr").count()).toBeGreaterThanOrEqual(rows);
  return table;
}
