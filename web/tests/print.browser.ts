/** On paper: every page as a clean drawing, in the colours of the day even when it is read at night. */
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { at, expectNoSideways, makeSite, page, reader, SCREENS, useBrowser } from "./harness";

useBrowser();

/** Mean lightness, 0 to 255, of what is drawn on the first canvas of the page. The grid is most of it: pale by day, dark at
 * night. */
function lightness(on: Page): Promise<number> {
  return on.evaluate(() => {
    const canvas = document.querySelector<HTMLCanvasElement>(".uplot canvas");
    const ctx = canvas?.getContext("2d");
    if (!canvas || !ctx) return Number.NaN;
    const { data } = ctx.getImageData(0, 0, canvas.width, canvas.height);
    let sum = 0;
    let count = 0;
    for (let i = 0; i < data.length; i += 4) {
      if ((data[i + 3] ?? 0) < 200) continue;
      sum += 0.2126 * (data[i] ?? 0) + 0.7152 * (data[i + 1] ?? 0) + 0.0722 * (data[i + 2] ?? 0);
      count += 1;
    }
    return sum / count;
  });
}

/** Where each page is ready, by a plot that it draws last. */
const PAGES = [
  { name: "air", figure: "Motor load", most: 3 },
  { name: "season", figure: /^Fans and burner/, most: 4 },
  { name: "risk", figure: "The worst grain of every year", most: 6 },
] as const;

describe("paper", () => {
  for (const { name, figure, most } of PAGES) {
    it(`takes ${name} without its handles, by day`, { timeout: 120_000 }, async () => {
      const id = await makeSite("demo");
      const on = await page(await reader({ scheme: "dark", units: "us" }));
      await on.goto(at(`/site/${id}/${name}`));
      await on.getByRole("figure", { name: figure }).waitFor({ timeout: 60_000 });
      await expect.poll(() => lightness(on)).toBeGreaterThan(0);
      const night = await lightness(on);
      await on.emulateMedia({ media: "print", colorScheme: "dark" });
      await expect.poll(() => lightness(on)).toBeGreaterThan(night + 10);
      expect(await on.getByRole("slider").filter({ visible: true }).count()).toBe(0);
      expect(await on.getByRole("button").filter({ visible: true }).count()).toBe(0);
      // The sheet fits the paper: nothing is shrunk to make room for what sticks out, and no page is left for a line or two.
      const paper = await on.pdf({
        path: `${SCREENS}/${name}-print.pdf`,
        format: "Letter",
        printBackground: true,
      });
      expect(paper.toString("latin1").match(/\/Type \/Page\b(?!s)/g)?.length).toBeLessThanOrEqual(most);
      await on.setViewportSize({ width: 760, height: 1000 });
      await expectNoSideways(on);
      await on.screenshot({ path: `${SCREENS}/${name}-print.png`, fullPage: true });
    });
  }
});
