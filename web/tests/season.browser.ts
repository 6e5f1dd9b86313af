/** Season: one year over depth and time, or two side by side. */
import { describe, expect, it } from "vitest";
import { at, expectAccessible, makeSite, page, reader, screens, useBrowser } from "./harness";
import { readsByHand, readsByKeys, showsTable } from "./plots";

useBrowser();

const PATIENCE = { timeout: 60_000 };

describe("season", () => {
  it("lays a year over depth and time, read by hand and by keys, with tables", {
    timeout: 120_000,
  }, async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/season?year=1996`));
    const map = on.getByRole("figure", { name: "Moisture over depth and time, 1996" });
    await map.waitFor(PATIENCE);
    await readsByHand(map, /% w\.b\.|no grain/);
    const heard = await readsByKeys(map, /above the floor/);
    expect(heard).toMatch(/199[67]/);
    await showsTable(map, 60);
    await expectAccessible(on);
    for (const name of ["Moisture of the bin", "Air outside", "Humidity outside", "Fans and burner"]) {
      const strip = on.getByRole("figure", { name: new RegExp(`^${name}.*1996`) });
      await readsByKeys(strip, /\d/);
      await showsTable(strip, 30);
    }
    await showsTable(on.getByRole("figure", { name: "Weather of 1996" }), 30);
  });

  it("moves through its days with the scrubber, and its address keeps the day", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/season?year=2010`));
    const scrubber = on.getByRole("slider", { name: "Day looked at" });
    await scrubber.waitFor(PATIENCE);
    await scrubber.focus();
    await scrubber.press("Home");
    await expect.poll(() => on.url()).toMatch(/day=0\b/);
    for (let i = 0; i < 3; i++) await scrubber.press("ArrowRight");
    await expect.poll(() => on.url()).toMatch(/day=3\b/);
    expect(await scrubber.getAttribute("aria-valuetext")).toMatch(/day 3: (filling|drying)/);
    await on.reload();
    await scrubber.waitFor(PATIENCE);
    expect(await scrubber.inputValue()).toBe("3");
    const map = on.getByRole("figure", { name: "Moisture over depth and time, 2010" });
    const over = map.locator(".u-over").first();
    await over.scrollIntoViewIfNeeded();
    const box = await over.boundingBox();
    if (!box) throw new Error("no map");
    await over.click({ position: { x: box.width * 0.6, y: box.height * 0.5 } });
    await expect.poll(() => Number(/day=(\d+)/.exec(on.url())?.[1])).toBeGreaterThan(3);
  });

  it("sets two years side by side on one scale", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "si" }));
    await on.goto(at(`/site/${id}/season?year=1996`));
    await on.getByRole("heading", { name: /^1996/, level: 2 }).waitFor(PATIENCE);
    await on.getByLabel("Beside it").selectOption("2010");
    await on.getByRole("heading", { name: /^2010/, level: 2 }).waitFor(PATIENCE);
    await on.getByRole("radio", { name: "storage life used" }).check();
    for (const year of ["1996", "2010"]) {
      await on
        .getByRole("figure", { name: `Storage life used over depth and time, ${year}` })
        .waitFor(PATIENCE);
    }
    expect(on.url()).toMatch(/beside=2010/);
    await expectAccessible(on);
  });

  it("looks as it should", { timeout: 240_000 }, async () => {
    const id = await makeSite("demo");
    await screens("season", `/site/${id}/season?year=1996`, (on) =>
      on.getByRole("figure", { name: /^Fans and burner/ }).waitFor(PATIENCE),
    );
    await screens("season-two", `/site/${id}/season?year=1996&beside=2010&show=temperature&day=30`, (on) =>
      on.getByRole("figure", { name: "Grain temperature over depth and time, 2010" }).waitFor(PATIENCE),
    );
  });
});
