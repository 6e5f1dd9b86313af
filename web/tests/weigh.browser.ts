/** Weigh: the race fills the scatter, an outfit is looked at, set beside another, chosen and taken back. */
import { describe, expect, it } from "vitest";
import {
  at,
  expectAccessible,
  expectNoSideways,
  makeSite,
  PHONE,
  page,
  reader,
  SCREENS,
  textOf,
  useBrowser,
} from "./harness";
import { showsTable } from "./plots";

useBrowser();

/** As long as a small field takes on a busy machine. */
const LONG = 120_000;

const CHOOSE = `
[bins.north.choose]
fans = ["demo-centrifugal-10hp", "demo-axial-10hp"]
most_fans = 2
`;

async function small(): Promise<string> {
  const demo = await makeSite("demo");
  return makeSite({ text: `${(await textOf(demo)).toString()}${CHOOSE}`, name: "weighed" });
}

describe("weigh", () => {
  it("races, says why, compares two, makes one the outfit and takes it back", {
    timeout: 2 * LONG,
  }, async () => {
    const id = await small();
    const before = await textOf(id);
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/weigh`));
    const front = on.getByRole("figure", { name: "Cost against failed years" });
    await front.getByText(/candidates: .* on the front/).waitFor({ timeout: LONG });
    await showsTable(front, 2);
    await on.getByText("What could not be").waitFor();
    const beside = on.getByRole("combobox", { name: "Beside it, year by year" });
    await beside.selectOption({ index: 1 });
    await showsTable(on.getByRole("figure", { name: "Season by season" }), 28);
    await expectAccessible(on);
    await on.screenshot({ path: `${SCREENS}/weigh-desktop.png`, fullPage: true });
    // Any outfit that does not stand there yet.
    const outfit = on.getByRole("combobox", { name: "Outfit", exact: true });
    const choose = on.getByRole("button", { name: "Make it the bin's outfit" });
    for (let i = 0; i < 6 && !(await choose.isVisible()); i++) await outfit.selectOption({ index: i });
    await choose.click();
    await on.getByText(/is now the bin's outfit, as a version/).waitFor();
    expect((await textOf(id)).equals(before)).toBe(false);
    await on.getByRole("button", { name: "Take it back" }).click();
    await expect.poll(async () => (await textOf(id)).equals(before)).toBe(true);
    await on.setViewportSize(PHONE);
    await expectNoSideways(on);
    await expectAccessible(on);
    await on.screenshot({ path: `${SCREENS}/weigh-phone.png`, fullPage: true });
  });
});
