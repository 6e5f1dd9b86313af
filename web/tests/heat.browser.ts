/** Heat: duty, firing, fuel train, motors and the yard, with sliders that answer while they move. */
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { at, expectAccessible, makeSite, page, reader, screens, textOf, useBrowser } from "./harness";
import { readsByHand, showsTable } from "./plots";

useBrowser();

/** A site with a burner, a tank, wires and a dwelling. */
const YARD = readFileSync(resolve(import.meta.dirname, "../../crates/advice/tests/data/yard.toml"), "utf8");

describe("heat", () => {
  it("is drawn, read by hand, and has a table behind every figure", async () => {
    const id = await makeSite({ text: YARD, name: "yard" });
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/heat`));
    const duty = on.getByRole("figure", { name: "Heat wanted through the season" });
    await duty.getByText(/In the design hour .* the air takes [\d,]+\sBtu\/h/).waitFor();
    await readsByHand(duty, /Btu\/h/);
    await showsTable(duty, 10);
    await showsTable(on.getByRole("figure", { name: "Swing of the plenum by way of firing" }), 6);
    const train = on.getByRole("figure", { name: "Fuel train" });
    expect(await train.getByText("enough", { exact: true }).count()).toBe(7);
    await showsTable(train, 7);
    await on.getByRole("figure", { name: "Motor load against the outdoor temperature" }).waitFor();
    const yard = on.getByRole("figure", { name: "Sound in the yard" });
    expect(await yard.getByText(/about 56\sdB\(A\) at house/).count()).toBeGreaterThan(0);
    await expectAccessible(on);
  });

  it("a tank too small is told while the slider moves, and kept when it is let go", async () => {
    const id = await makeSite({ text: YARD, name: "yard" });
    const before = await textOf(id);
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/heat`));
    const train = on.getByRole("figure", { name: "Fuel train" });
    await train.waitFor();
    const slider = on.getByRole("slider", { name: "Capacity of a tank" });
    await slider.focus();
    for (let i = 0; i < 3; i++) await on.keyboard.press("PageDown");
    await on.keyboard.press("Home");
    await train.getByText("too little").first().waitFor();
    expect((await textOf(id)).equals(before), "kept before it was let go").toBe(true);
    await slider.blur();
    await on.getByText(/Kept as a version: capacity of a tank/).waitFor();
    expect((await textOf(id)).toString()).not.toContain('"1000 gal"');
    await on.getByRole("button", { name: "Undo" }).click();
    await expect.poll(async () => (await textOf(id)).equals(before)).toBe(true);
  });

  it("a site without burner and yard says what is missing and where to say it", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/heat`));
    await on.getByRole("heading", { name: "No burner" }).waitFor();
    await on.getByRole("link", { name: "Say where it stands" }).click();
    await on.getByRole("heading", { name: "Yard" }).waitFor();
    const distance = on.getByRole("textbox", { name: "Distance from every fan" });
    await distance.fill("400 ft");
    await distance.press("Tab");
    await expect.poll(async () => (await textOf(id)).toString()).toMatch(/distance = "400 ft"/);
    await expectAccessible(on);
  });

  it("looks right at a desk and on a phone, by day and at night", async () => {
    const id = await makeSite({ text: YARD, name: "yard" });
    await screens("heat", `/site/${id}/heat`, (on) =>
      on.getByRole("figure", { name: "Sound in the yard" }).waitFor(),
    );
  });
});
