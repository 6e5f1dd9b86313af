/** Air: curves, the depth under the hand, fans on trial, the quick question. */
import { describe, expect, it } from "vitest";
import { at, expectAccessible, makeSite, page, reader, screens, textOf, useBrowser } from "./harness";
import { readsByHand, readsByKeys, showsTable } from "./plots";

useBrowser();

describe("air", () => {
  it("is drawn, read by hand and by keys, and has a table behind every plot", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/air`));
    const fans = on.getByRole("figure", { name: "Fans against the grain" });
    await fans.getByText(/the fans settle at [\d,]+\scfm/).waitFor();
    await readsByHand(fans, /cfm/);
    await readsByKeys(fans, /cfm/);
    const table = await showsTable(fans, 4);
    // Units of the other system stay out of the way.
    expect(await table.getByRole("columnheader", { name: "per tonne, m³/(h·t)" }).count()).toBe(0);
    await on.getByRole("radio", { name: "SI" }).check();
    expect(await table.getByRole("columnheader", { name: "per tonne, m³/(h·t)" }).count()).toBe(1);
    await on.getByRole("radio", { name: "US" }).check();
    await showsTable(on.getByRole("figure", { name: "Where the pressure goes" }), 4);
    const need = await showsTable(on.getByRole("figure", { name: "Airflow against the customary need" }), 3);
    expect(await need.getByText("Hellevang 2010, northern plains").count()).toBe(1);
    await showsTable(on.getByRole("figure", { name: "Motor load" }), 4);
    await expectAccessible(on);
  });

  it("answers while the depth moves and makes a version only when it is let go", async () => {
    const id = await makeSite("demo");
    const before = await textOf(id);
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/air`));
    const says = on.getByText(/^Full, at [\d.]+\sft/);
    await says.waitFor();
    const full = await says.textContent();
    const slider = on.getByRole("slider", { name: "Depth of grain" }).first();
    const box = await slider.boundingBox();
    if (!box) throw new Error("no slider");
    const y = box.y + box.height / 2;
    await on.mouse.move(box.x + box.width * 0.77, y);
    await on.mouse.down();
    await on.mouse.move(box.x + box.width * 0.5, y, { steps: 6 });
    await expect.poll(() => says.textContent()).not.toBe(full);
    expect((await textOf(id)).equals(before), "kept before it was let go").toBe(true);
    await on.mouse.up();
    const kept = await on.getByText(/Kept as a version: grain [\d.]+\sft deep/).textContent();
    await expect.poll(async () => (await textOf(id)).equals(before)).toBe(false);
    // The answer that stands is that of the depth which was kept, not of one on the way to it.
    const deep = /[\d.]+\sft/.exec(kept ?? "")?.[0] ?? "no depth";
    await expect.poll(() => says.textContent()).toContain(deep);
    // The way back outlasts a reload.
    await on.reload();
    await says.waitFor();
    await on.getByRole("button", { name: "Undo" }).click();
    await expect.poll(async () => (await textOf(id)).equals(before)).toBe(true);
    await on.getByRole("button", { name: "Redo" }).click();
    await expect.poll(async () => (await textOf(id)).equals(before)).toBe(false);
    await on.getByRole("button", { name: "Undo" }).click();
    await expect.poll(async () => (await textOf(id)).equals(before)).toBe(true);
    await expect.poll(() => says.textContent()).toBe(full);
  });

  it("tries fans and puts them back, or keeps them", async () => {
    const id = await makeSite("demo");
    const before = await textOf(id);
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/air`));
    const says = on.getByText(/^Full, at [\d.]+\sft/);
    await says.waitFor();
    const full = await says.textContent();
    await on.getByRole("button", { name: "One fan less" }).press("Enter");
    await expect.poll(() => says.textContent()).not.toBe(full);
    expect((await textOf(id)).equals(before)).toBe(true);
    await on.getByRole("button", { name: "Put back" }).press("Enter");
    await expect.poll(() => says.textContent()).toBe(full);
    await on.getByRole("button", { name: "One fan less" }).press("Enter");
    await on.getByRole("button", { name: "Keep these fans" }).press("Enter");
    await on.getByText(/Kept as a version: 10\shp centrifugal, low speed/).waitFor();
    expect((await textOf(id)).toString()).toContain('fans = ["demo-centrifugal-10hp"]');
  });

  it("is asked about without a site, in any unit, and its address keeps the question", async () => {
    const on = await page(await reader({ units: "us" }));
    await on.goto(at("/air"));
    await on.getByRole("heading", { name: "Pressure at the airflow wanted" }).waitFor();
    const depth = on.getByRole("textbox", { name: "Depth of grain" });
    await depth.fill("very deep");
    await on.locator("#quick-depth-fault").waitFor();
    expect(await depth.getAttribute("aria-invalid")).toBe("true");
    await depth.fill("6 m");
    await on.getByText(/^At 19\.7\sft the airflow wanted is/).waitFor();
    await on.reload();
    await on.getByText(/^At 19\.7\sft the airflow wanted is/).waitFor();
    await showsTable(on.getByRole("figure", { name: "Pressure at the airflow wanted" }), 8);
    await expectAccessible(on);
  });

  it("looks as it should", { timeout: 120_000 }, async () => {
    const id = await makeSite("demo");
    await screens("air", `/site/${id}/air`, (on) => on.getByText(/the fans settle at/).waitFor());
    await screens("quick-air", "/air", (on) => on.getByText(/the airflow wanted is/).waitFor());
  });
});
