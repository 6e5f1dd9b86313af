/** Risk: every year, what is open, and the handles that move it. */
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { at, expectAccessible, makeSite, page, reader, screens, textOf, useBrowser } from "./harness";
import { readsByHand, readsByKeys, showsTable } from "./plots";

useBrowser();

/** A verdict of nearly thirty years takes its time on a slow machine. */
const PATIENCE = { timeout: 60_000 };

/** Waits until every year is judged in earnest. */
async function verdict(on: Page): Promise<void> {
  await on.getByText(/^of \d+ weather years(?!, about)/).waitFor(PATIENCE);
}

describe("risk", () => {
  it("draws every year, held against the goal, with tables and words", { timeout: 150_000 }, async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/risk`));
    await verdict(on);
    const years = on.getByRole("figure", { name: "Every year", exact: true });
    await years.getByText(/^Of \d+ weather years \d+ met/).waitFor();
    expect(await readsByKeys(years, /% w\.b\./)).toMatch(/(met|held over winter|failed)/);
    const table = await showsTable(years, 20);
    expect(await table.getByText(/failed: /).count()).toBeGreaterThan(0);
    await showsTable(on.getByRole("figure", { name: "When the mean is on target" }), 20);
    await showsTable(on.getByRole("figure", { name: "The worst grain of every year" }), 20);
    await showsTable(on.getByRole("figure", { name: "What so few years leave open" }), 4);
    const range = on.getByRole("figure", { name: "What the model leaves open" });
    await range.waitFor({ timeout: 90_000 });
    // Published sets by their equation and year; the id stands in small print.
    expect(await range.getByText(/^modified Oswin, 1995/).count()).toBeGreaterThan(0);
    await showsTable(range, 3);
    await on.getByRole("heading", { name: "In words" }).waitFor();
    await expectAccessible(on);
  });

  it("goes from slider to verdict: about while it moves, a version when let go, undone at once", {
    timeout: 150_000,
  }, async () => {
    const id = await makeSite("demo");
    const before = await textOf(id);
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/risk`));
    await verdict(on);
    const headline = on.getByRole("complementary").getByRole("listitem").first();
    const first = await headline.textContent();
    const slider = on.getByRole("slider", { name: "Moisture as filled" });
    const box = await slider.boundingBox();
    if (!box) throw new Error("no slider");
    const y = box.y + box.height / 2;
    await on.mouse.move(box.x + box.width * 0.445, y);
    await on.mouse.down();
    await on.mouse.move(box.x + box.width * 0.25, y, { steps: 5 });
    await on.getByText(/weather years, about/).waitFor();
    await expect.poll(() => headline.textContent(), PATIENCE).not.toBe(first);
    expect((await textOf(id)).equals(before), "kept before it was let go").toBe(true);
    await on.mouse.up();
    await on.getByText(/Kept as a version: moisture [\d.]+\s% w\.b\./).waitFor();
    await verdict(on);
    expect((await textOf(id)).toString()).toMatch(/moisture = "1[67][\d.]* %"/);
    await on.getByRole("button", { name: "Take it back" }).click();
    await expect.poll(async () => (await textOf(id)).equals(before)).toBe(true);
    await verdict(on);
    await expect.poll(() => headline.textContent(), PATIENCE).toBe(first);
  });

  it("is known on the other pages: of this very text, or of an earlier one", {
    timeout: 150_000,
  }, async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "us" }));
    const block = on.locator("dl > div", { hasText: "Verdict" }).getByRole("definition");
    await on.goto(at(`/site/${id}/survey?part=bin`));
    await expect.poll(() => block.textContent()).toContain("not judged yet");
    await on.getByRole("link", { name: "Risk", exact: true }).click();
    await verdict(on);
    // The margin is chosen by what carries the verdict, and reasons are told in the program's words.
    await on
      .getByRole("complementary")
      .getByText(/^Goal: good in/)
      .waitFor();
    for (const name of ["Survey", "Air", "Season"]) {
      await on.getByRole("link", { name, exact: true }).click();
      await expect
        .poll(() => block.textContent())
        .toMatch(/^\s*\d+ of 28 years good, goal (missed|reached)\s*$/);
    }
    await on.goto(at(`/site/${id}/survey?part=bin`));
    await on.reload();
    await expect.poll(() => block.textContent()).toMatch(/^\s*\d+ of 28 years good/);
    await on.getByRole("textbox", { name: "Inner diameter" }).fill("37 ft");
    await on.getByRole("textbox", { name: "Inner diameter" }).press("Enter");
    await expect.poll(() => block.textContent()).toContain("an earlier text");
    await on.getByRole("button", { name: "Undo" }).click();
    await expect.poll(() => block.textContent()).toMatch(/^\s*\d+ of 28 years good/);
  });

  it("moves by keys and settles when they rest", { timeout: 150_000 }, async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "si" }));
    await on.goto(at(`/site/${id}/risk`));
    await on.getByText(/^of \d+/).waitFor(PATIENCE);
    const slider = on.getByRole("slider", { name: "First day of harvest" });
    await slider.focus();
    for (let i = 0; i < 5; i++) await slider.press("ArrowRight");
    expect(await slider.getAttribute("aria-valuetext")).toBe("Oct 15");
    await on.getByText(/Kept as a version: harvest from Oct 15/).waitFor();
    expect((await textOf(id)).toString()).toContain('from = "10-15"');
    const versions = await fetch(`${new URL(on.url()).origin}/api/v1/sites/${id}/versions`);
    expect(((await versions.json()) as unknown[]).length, "five steps are one version").toBe(2);
  });

  it("opens the season of a year, by click and by Enter", { timeout: 150_000 }, async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/risk`));
    await on.getByText(/^of \d+/).waitFor(PATIENCE);
    await on.getByRole("link", { name: "1996" }).click();
    await on.waitForURL(/\/season\?.*year=1996/);
    await on.getByRole("heading", { name: /^1996/, level: 2 }).waitFor(PATIENCE);
    await on.goBack();
    // All years begin near one another, in the upper left.
    const years = on.getByRole("figure", { name: "Every year", exact: true });
    await readsByHand(years, /met|held|failed/, [0.03, 0.2]);
    const under = await years.locator(".plot-tip b").first().textContent();
    expect(under).toMatch(/% w\.b\./);
    await on.mouse.down();
    await on.mouse.up();
    await on.waitForURL(/\/season\?.*year=\d{4}/);
    await on.goBack();
    const finish = on.getByRole("figure", { name: "When the mean is on target" });
    const heard = await readsByKeys(finish, /\d{4}/);
    await finish.getByRole("application").press("Enter");
    await on.waitForURL(new RegExp(`/season\\?.*year=${heard.slice(0, 4)}`));
  });

  it("looks as it should", { timeout: 400_000 }, async () => {
    const id = await makeSite("demo");
    await screens("risk", `/site/${id}/risk`, async (on) => {
      await verdict(on);
      await on.getByRole("figure", { name: "What the model leaves open" }).waitFor({ timeout: 90_000 });
    });
  });
});
