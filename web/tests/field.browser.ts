/** Field: one question at a time on a phone, nothing entered is lost, the readings are judged in plain words. */
import { rmSync } from "node:fs";
import { describe, expect, it } from "vitest";
import {
  at,
  DESKTOP,
  expectAccessible,
  expectNoSideways,
  makeSite,
  PHONE,
  page,
  reader,
  SCREENS,
  useBrowser,
} from "./harness";
import { folder, launch } from "./program";

useBrowser();

interface Row {
  field: string;
  expected: number | null;
}

/** What a sound bin shows, as its own sheet foretells it. */
async function sound(origin: string, id: string): Promise<(field: string) => number> {
  const answer = await fetch(`${origin}/api/v1/sites/${id}/sheet?bin=north`);
  const { rows } = (await answer.json()) as { rows: Row[] };
  return (field) => rows.find((row) => row.field === field)?.expected ?? Number.NaN;
}

async function readings(origin: string, id: string): Promise<{ field: string; value: string }[]> {
  const answer = await fetch(`${origin}/api/v1/sites/${id}/readings`);
  return ((await answer.json()) as { readings: { field: string; value: string }[] }).readings;
}

describe("field", () => {
  it("asks one question at a time and says what the readings mean", async () => {
    const id = await makeSite("demo");
    const origin = at("").replace(/\/#$/, "");
    const on = await page(await reader({ viewport: PHONE, units: "us" }));
    await on.goto(at(`/site/${id}/field`));
    await on
      .getByText(/nobody goes into the bin/i)
      .first()
      .waitFor();
    await on.getByRole("textbox", { name: "Who reads" }).fill("A. Reader");
    await expectAccessible(on);
    await on.screenshot({ path: `${SCREENS}/field-start-phone.png`, fullPage: true });
    await on.getByRole("button", { name: "Begin a visit" }).click();
    await on.getByRole("heading", { name: "Fans that run" }).waitFor();
    await on.getByRole("button", { name: "Skip" }).click();
    await on.getByRole("button", { name: "With the arrow" }).click();
    await on.goto(at(`/site/${id}/field?ask=air.outdoor`));
    await on.getByRole("heading", { name: /Outdoor air/ }).waitFor();
    await on.getByRole("textbox", { name: "Outdoor air" }).fill("50");
    await on.getByRole("button", { name: "Keep and go on" }).click();
    await expect
      .poll(async () => (await readings(origin, id)).map((one) => `${one.field} ${one.value}`))
      .toEqual(["state.rotation with-arrow", "air.outdoor 50 F"]);
    await on.getByText("All that was entered is kept by the program.").waitFor();
    const expected = await sound(origin, id);
    await on.goto(at(`/site/${id}/field?ask=pressure.plenum`));
    await on
      .getByRole("textbox", { name: /pressure/i })
      .fill(`${Math.round(0.55 * expected("pressure.plenum"))} Pa`);
    await on.getByRole("button", { name: "Keep this reading" }).click();
    await on.getByRole("list", { name: "Entered" }).getByText("kept by the program").waitFor();
    await expectNoSideways(on);
    await expectAccessible(on);
    await on.screenshot({ path: `${SCREENS}/field-question-phone.png`, fullPage: true });
    const big = await on.getByRole("button", { name: "Go on" }).boundingBox();
    expect(big?.height).toBeGreaterThanOrEqual(56);
    await on.getByRole("button", { name: "What the readings say" }).click();
    await on.getByText("Something differs from the plan.").waitFor();
    await on.getByRole("heading", { name: "Likely causes" }).waitFor();
    await on.getByText("Read next:").waitFor();
    await expectNoSideways(on);
    await expectAccessible(on);
    await on.screenshot({ path: `${SCREENS}/field-found-phone.png`, fullPage: true });
  });

  it("loses nothing when the program is down, over a reload, and sends it once when it is back", async () => {
    const data = folder();
    let running = await launch(data);
    try {
      const { address } = running;
      const port = Number(new URL(address).port);
      const made = await fetch(`${address}/api/v1/sites`, {
        method: "POST",
        headers: { "content-type": "application/json" },
        body: JSON.stringify({ from: "demo" }),
      });
      const { id } = (await made.json()) as { id: string };
      const context = await reader({ viewport: PHONE, units: "us" });
      const on = await context.newPage();
      await on.goto(`${address}/#/site/${id}/field`);
      await on.getByRole("button", { name: "Begin a visit" }).click();
      await on.goto(`${address}/#/site/${id}/field?ask=air.outdoor`);
      await on.getByRole("textbox", { name: "Outdoor air" }).waitFor();
      await running.end();
      await on.getByRole("textbox", { name: "Outdoor air" }).fill("41");
      await on.getByRole("button", { name: "Keep and go on" }).click();
      await on.getByText(/One entry waits in this browser/).waitFor();
      // The program is gone: the browser has nothing to show, but what was entered stays in it. The page that failed is
      // left behind, for the browser goes on navigating in it on its own.
      await on.reload().catch(() => {});
      await on.close();
      running = await launch(data, port);
      const later = await context.newPage();
      await later.goto(`${address}/#/site/${id}/field?ask=air.outdoor`);
      await later.getByText("All that was entered is kept by the program.").waitFor();
      await later.reload();
      await later.getByText("All that was entered is kept by the program.").waitFor();
      expect(await readings(address, id)).toMatchObject([{ field: "air.outdoor", value: "41 F" }]);
    } finally {
      await running.end();
      rmSync(data, { recursive: true, force: true });
    }
  });

  it("holds an old visit against the plan at a desk and takes it as the bin's baseline", async () => {
    const id = await makeSite("demo");
    const origin = at("").replace(/\/#$/, "");
    const expected = await sound(origin, id);
    const entry = (field: string, value: string) => ({
      id: crypto.randomUUID(),
      visit: "a-visit-of-last-week",
      bin: "north",
      field,
      value,
      at: "2026-10-16T14:00:00-05:00",
      by: "A. Reader",
      instrument: "",
      note: "",
      replaces: null,
    });
    const tap = () => entry("pressure.plenum", `${Math.round(expected("pressure.plenum"))} Pa`);
    const sent = await fetch(`${origin}/api/v1/sites/${id}/readings`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({
        readings: [
          entry("state.rotation", "with-arrow"),
          entry("air.outdoor", "10 C"),
          tap(),
          tap(),
          entry("traverse.airflow", `${expected("traverse.airflow").toFixed(3)} m3/s`),
        ],
      }),
    });
    expect(sent.ok).toBe(true);
    const on = await page(await reader({ viewport: DESKTOP, units: "us" }));
    await on.goto(at(`/site/${id}/field`));
    await on.getByText(/5 readings, A. Reader/).waitFor();
    await on.getByRole("button", { name: "What it says" }).click();
    await on.getByText(/What was read agrees with the plan/).waitFor();
    // Pascals were written down; whoever reads US units sees inches of water.
    await on
      .getByText(/read [\d.]+\sin\. water/)
      .first()
      .waitFor();
    await expectNoSideways(on);
    await expectAccessible(on);
    await on.screenshot({ path: `${SCREENS}/field-old-visit-desktop.png`, fullPage: true });
    await on.getByRole("button", { name: "Take this visit as the bin's baseline" }).click();
    await on.getByText("This visit is now the baseline of the bin").waitFor();
    await on.getByText("baseline of the bin", { exact: true }).waitFor();
    await on.getByRole("textbox", { name: "Who reads" }).fill("B. Reader");
    await on.getByRole("button", { name: "Begin a visit" }).click();
    await on.getByRole("heading", { name: "Fans that run" }).waitFor();
    await expectNoSideways(on);
    await on.screenshot({ path: `${SCREENS}/field-question-desktop.png`, fullPage: true });
  });

  it("says how long the grain bears it without air", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/field`));
    await on.getByText("The power is out, or a fan has tripped").click();
    await on.getByRole("button", { name: "How long" }).click();
    await on.getByRole("rowheader", { name: "without air" }).waitFor({ timeout: 60_000 });
    await expectAccessible(on);
    await on.screenshot({ path: `${SCREENS}/field-desktop.png`, fullPage: true });
  });
});
