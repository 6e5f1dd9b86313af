/** The whole farm on the page of the season: one year on asking, and all years. */
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { at, expectAccessible, makeSite, page, reader, screens, useBrowser } from "./harness";
import { readsByHand, showsTable } from "./plots";

useBrowser();

const FARM = readFileSync(resolve(import.meta.dirname, "../../crates/job/data/farm.toml"), "utf8");
const PATIENCE = { timeout: 60_000 };

describe("the whole farm", () => {
  it("sends the loads of a year, and stands in all years", { timeout: 180_000 }, async () => {
    const id = await makeSite({ text: FARM, name: "farm" });
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/season?year=2018`));
    await on.getByRole("button", { name: "Run the farm, 2018" }).click(PATIENCE);
    const loads = on.getByRole("figure", { name: "Where the loads go, 2018" });
    await loads.waitFor(PATIENCE);
    await loads.getByText(/45,000\sbu come from the field: [\d,]+\sbu wait longer than 5 days/).waitFor();
    await readsByHand(loads, /lb/);
    await showsTable(loads, 10);
    const service = on.getByRole("figure", { name: "One service for all bins" });
    await service.getByText(/together with 5.00\skW of other load/).waitFor();
    await showsTable(service, 2);
    await showsTable(on.getByRole("figure", { name: "The gas tanks" }), 1);
    await on.getByRole("button", { name: "Run the farm in all years" }).click();
    const years = on.getByRole("table", { name: "The farm in all years" });
    await years.waitFor(PATIENCE);
    expect(await years.getByRole("row").count()).toBe(29);
    await on.getByText(/In \d+ of 28 years all is stored and sound/).waitFor();
    await expectAccessible(on);
  });

  it("looks as it should", { timeout: 240_000 }, async () => {
    const id = await makeSite({ text: FARM, name: "farm" });
    await screens("farm", `/site/${id}/season?year=2018`, async (on) => {
      await on.getByRole("button", { name: "Run the farm, 2018" }).click(PATIENCE);
      await on.getByRole("figure", { name: "The gas tanks" }).waitFor(PATIENCE);
    });
  });
});
