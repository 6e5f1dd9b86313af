/** The equipment list, and a fan of one's own: entered, refused, kept, chosen in a site, changed and removed. */
import { describe, expect, it } from "vitest";
import { at, expectAccessible, makeSite, page, reader, screens, textOf, useBrowser } from "./harness";

useBrowser();

describe("equipment", () => {
  it("is a list of what sites may name, with curves", async () => {
    const on = await page(await reader({ units: "us" }));
    await on.goto(at("/equipment"));
    await on.getByRole("rowheader", { name: "demo-axial-3hp" }).waitFor();
    await on.getByRole("row", { name: /demo-burner-propane-250.*250,000\sBtu\/h.*propane/ }).waitFor();
    await on.getByRole("button", { name: "Curve of demo-axial-3hp" }).click();
    await on.getByRole("figure", { name: "Curve of demo-axial-3hp" }).waitFor();
    await on.reload();
    await on.getByRole("figure", { name: "Curve of demo-axial-3hp" }).waitFor();
    await expectAccessible(on);
  });

  it("takes a fan of one's own, which a site can then name", { timeout: 120_000 }, async () => {
    const on = await page(await reader({ units: "us" }));
    await on.goto(at("/equipment"));
    await on.getByRole("button", { name: "Add a fan of your own" }).click();
    await on.getByRole("textbox", { name: "Name" }).fill("north shed 10");
    await on.getByText("In the site file it is written north-shed-10").waitFor();
    await on.getByRole("combobox", { name: "Kind" }).selectOption("centrifugal-low-speed");
    await on.getByRole("textbox", { name: "Motor" }).fill("10");
    await on.getByRole("textbox", { name: "Speed" }).fill("1750");
    await on.getByRole("textbox", { name: "Source" }).fill("bench sheet of this test");
    await on.getByRole("textbox", { name: "Date of the figures" }).fill("2026");
    const cell = (column: string, point: number) =>
      on.getByRole("textbox", { name: `${column}, point ${point}` });
    // A table that was copied elsewhere fills the rows; this one rises where it must fall.
    await cell("Static pressure", 1).evaluate((it) => {
      const data = new DataTransfer();
      data.setData("text/plain", "0\t12000\n2\t10500\n4\t10800\n6\t6000");
      it.dispatchEvent(new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true }));
    });
    expect(await cell("Airflow", 4).inputValue()).toBe("6000");
    await expectAccessible(on);
    await on.getByRole("button", { name: "Add the fan" }).click();
    await on
      .getByText(/error:/)
      .first()
      .waitFor();
    expect(await on.getByRole("rowheader", { name: "north-shed-10" }).count()).toBe(0);
    await cell("Airflow", 3).fill("8800");
    await on.getByRole("button", { name: "Add the fan" }).click();
    await on.getByRole("row", { name: /north-shed-10.*bench sheet of this test/ }).waitFor();

    const id = await makeSite("demo");
    await on.goto(at(`/site/${id}/survey?part=outfit`));
    await on.getByRole("combobox", { name: "Fan 1" }).selectOption("north-shed-10");
    await expect.poll(async () => (await textOf(id)).toString()).toContain('"north-shed-10"');
    await on.getByText("The survey is usable").waitFor();
    await on.goto(at(`/site/${id}/air`));
    await on.getByRole("figure", { name: "Fans against the grain" }).waitFor();

    await on.goto(at("/equipment"));
    await on.getByRole("button", { name: "Change north-shed-10" }).click();
    expect(await on.getByRole("textbox", { name: "Motor" }).inputValue()).toBe("10 hp");
    await on.getByRole("textbox", { name: "Motor" }).fill("11 kW");
    await on.getByRole("button", { name: "Keep the changes" }).click();
    await on.getByRole("row", { name: /north-shed-10.*14\.8\shp/ }).waitFor();
    await on.getByRole("button", { name: "Remove north-shed-10" }).click();
    await expect.poll(() => on.getByRole("rowheader", { name: "north-shed-10" }).count()).toBe(0);
  });

  it("looks as it should", { timeout: 120_000 }, async () => {
    await screens("equipment", "/equipment?fan=demo-centrifugal-10hp", (on) =>
      on.getByRole("figure", { name: "Curve of demo-centrifugal-10hp" }).waitFor(),
    );
  });
});
