/** The survey: typed by keyboard, mended, reloaded, in two windows, on a phone, on paper. */
import type { Page } from "playwright-core";
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
  screens,
  textOf,
  useBrowser,
} from "./harness";

useBrowser();

const drawn = (on: Page, name: RegExp) => on.getByRole("group", { name }).waitFor();
const field = (on: Page, name: string) => on.getByRole("textbox", { name });

describe("survey", () => {
  it("is typed by keyboard, in any unit, with errors mended", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/survey?part=bin`));
    await drawn(on, /36\.0\sft across/);
    const diameter = field(on, "Diameter");
    await diameter.focus();
    await on.keyboard.press("Control+A");
    await on.keyboard.type("11 yd");
    // The words of the command line stand beside the field while it is typed.
    await on
      .getByText('has the unit "yd", must be a number with one of the units ft, m, in, cm, mm')
      .first()
      .waitFor();
    expect(await diameter.getAttribute("aria-invalid")).toBe("true");
    await on.keyboard.press("Control+A");
    await on.keyboard.type("11 m");
    // Redrawn before it is left.
    await drawn(on, /36\.1\sft across/);
    expect((await textOf(id)).toString()).toContain('diameter = "36 ft"');
    await on.keyboard.press("Tab");
    await expect.poll(async () => (await textOf(id)).toString()).toContain('diameter = "11 m"');
    expect(await diameter.inputValue()).toBe("11 m");
    // Everything around it stays, comments included.
    expect((await textOf(id)).toString()).toContain("# bundled, hourly, 1995 to 2023");
    await on.getByRole("button", { name: "Undo" }).click();
    await drawn(on, /36\.0\sft across/);
    await on.getByRole("button", { name: "Redo" }).click();
    await drawn(on, /36\.1\sft across/);
  });

  it("keeps a saved error and leads to it from the margin", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader());
    await on.goto(at(`/site/${id}/survey?part=lots`));
    await field(on, "Moisture").first().fill("118 %");
    await field(on, "Moisture").first().press("Enter");
    await expect.poll(async () => (await textOf(id)).toString()).toContain('moisture = "118 %"');
    await on.goto(at(`/site/${id}/survey?part=site`));
    await on.getByRole("link", { name: "Go there" }).first().click();
    await on.getByText("must be from 0 % to below 100 % wet basis").first().waitFor();
    await field(on, "Moisture").first().fill("18 %");
    await field(on, "Moisture").first().press("Enter");
    await on.getByText("The survey is usable").waitFor();
  });

  it("survives reload and the way back", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader());
    await on.goto(at(`/site/${id}/survey`));
    await on.getByRole("button", { name: "Outfit" }).click();
    await on.getByRole("button", { name: "Add a fan" }).waitFor();
    await on.reload();
    await on.getByRole("button", { name: "Add a fan" }).waitFor();
    await on.getByRole("button", { name: "Lots" }).click();
    await on.getByRole("heading", { name: "Lot 1" }).waitFor();
    await on.goBack();
    await on.getByRole("button", { name: "Add a fan" }).waitFor();
    await on.goBack();
    await on.getByRole("heading", { name: "Bin north" }).waitFor();
  });

  it("grows and shrinks: fans, lots, bins", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader());
    await on.goto(at(`/site/${id}/survey?part=outfit`));
    await on.getByRole("button", { name: "Add a fan" }).press("Enter");
    await on.getByRole("combobox", { name: "Fan 3" }).waitFor();
    await on.getByRole("combobox", { name: "Fan 3" }).selectOption("demo-axial-3hp");
    await expect.poll(async () => (await textOf(id)).toString()).toContain('"demo-axial-3hp"]');
    await on.getByRole("button", { name: "Remove fan 1" }).press("Enter");
    await expect.poll(() => on.getByRole("combobox", { name: /Fan \d/ }).count()).toBe(2);
    await on.getByRole("button", { name: "Lots" }).click();
    await on.getByRole("button", { name: "Add a lot" }).press("Enter");
    await on.getByRole("heading", { name: "Lot 2" }).waitFor();
    await on.getByRole("button", { name: "Remove lot 2" }).press("Enter");
    await expect.poll(() => on.getByRole("heading", { name: "Lot 2" }).count()).toBe(0);
    await on.getByRole("button", { name: "Bin north" }).click();
    await field(on, "Name").fill("south");
    await field(on, "Name").press("Enter");
    await on.getByRole("heading", { name: "Bin south" }).waitFor();
    await drawn(on, /bin south: 36\.0\sft/);
    await on.getByRole("combobox", { name: "Bin", exact: true }).selectOption("north");
    await drawn(on, /bin north/);
    await on.getByRole("combobox", { name: "Bin", exact: true }).selectOption("south");
    await on.getByRole("button", { name: "Remove bin south" }).press("Enter");
    await drawn(on, /bin north/);
    expect((await textOf(id)).toString()).not.toContain("south");
  });

  it("is dragged: the depth of the grain by pointer and by keys", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/survey`));
    const grip = on.getByRole("slider", { name: /Grain depth/ });
    await grip.waitFor();
    const before = Number(await grip.getAttribute("aria-valuenow"));
    await grip.press("ArrowDown");
    await expect
      .poll(async () => Number(await grip.getAttribute("aria-valuenow")))
      .toBeCloseTo(before - 0.5, 1);
    await expect.poll(async () => (await textOf(id)).toString()).not.toContain("15000 bu");
    const box = await grip.locator(".handle").boundingBox();
    if (!box) throw new Error("the handle is not drawn");
    await on.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await on.mouse.down();
    await on.mouse.move(box.x + box.width / 2, box.y + 60, { steps: 8 });
    const held = (await textOf(id)).toString();
    await expect.poll(async () => Number(await grip.getAttribute("aria-valuenow"))).toBeLessThan(before - 2);
    expect((await textOf(id)).toString(), "nothing is saved while it is held").toBe(held);
    await on.mouse.up();
    await expect.poll(async () => (await textOf(id)).toString()).not.toBe(held);
  });

  it("shows the text, errors by line, and saves it byte for byte", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader());
    await on.goto(at(`/site/${id}/survey?as=text`));
    const area = on.getByRole("textbox", { name: "The site as text" });
    await expect.poll(() => area.inputValue()).toContain("binwright = 1");
    const text = await area.inputValue();
    const wrong = text.replace('crop = "corn"', 'crop = "corm"');
    await area.fill(wrong);
    const line = wrong.split("\n").findIndex((one) => one.includes("corm")) + 1;
    await on.getByText('unknown crop "corm"').first().waitFor();
    await on.getByRole("button", { name: `line ${line}`, exact: true }).click();
    expect(
      await area.evaluate((it: HTMLTextAreaElement) => it.value.slice(it.selectionStart, it.selectionEnd)),
    ).toContain("corm");
    const mended = `${text}# a note of mine\t\n`;
    await area.fill(mended);
    // Looking elsewhere meanwhile loses nothing.
    await on.getByRole("button", { name: "Form" }).click();
    await on.getByRole("button", { name: "Text", exact: true }).click();
    await expect.poll(() => area.inputValue()).toBe(mended);
    await area.focus();
    await on.keyboard.press("Control+s");
    await expect.poll(async () => (await textOf(id)).toString()).toBe(mended);
  });

  it("in two windows does not overwrite in silence", async () => {
    const id = await makeSite("demo");
    const one = await page(await reader());
    const other = await page(await reader());
    for (const on of [one, other]) {
      await on.goto(at(`/site/${id}/survey?part=bin`));
      await field(on, "Diameter").waitFor();
    }
    await field(one, "Diameter").fill("30 ft");
    await field(one, "Diameter").press("Enter");
    await expect.poll(async () => (await textOf(id)).toString()).toContain('"30 ft"');
    await field(other, "Eave").fill("20 ft");
    await field(other, "Eave").press("Enter");
    await other.getByText("Another window saved this site meanwhile").waitFor();
    expect((await textOf(id)).toString()).toContain('eave = "24 ft"');
    await other.getByRole("button", { name: "Show it as it stands" }).click();
    await expect.poll(() => field(other, "Diameter").inputValue()).toBe("30 ft");
  });

  it("switches units and light without asking the program", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/survey`));
    await drawn(on, /36\.0\sft across/);
    await on.waitForLoadState("networkidle");
    const asked: string[] = [];
    on.on("request", (request) => asked.push(request.url()));
    await on.getByRole("radio", { name: "SI" }).check();
    await drawn(on, /10\.97\sm across/);
    await on.getByRole("combobox", { name: "Light" }).selectOption("dark");
    expect(asked).toEqual([]);
    await on.reload();
    await drawn(on, /10\.97\sm across/);
    expect(await on.evaluate(() => document.documentElement.dataset.theme)).toBe("dark");
  });

  it("writes numbers as the reader does", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ units: "si", locale: "de-DE" }));
    await on.goto(at(`/site/${id}/survey?part=bin`));
    await drawn(on, /10,97\sm across/);
    await on.getByText(/691,8\sm³/).waitFor();
  });

  it("begins with an empty sheet: nothing is invented, what is needed is asked for beside its field", async () => {
    const id = await makeSite("blank");
    expect((await textOf(id)).toString()).not.toMatch(/demo|ft|corn|champaign/);
    const on = await page(await reader({ units: "us" }));
    await on.goto(at(`/site/${id}/survey`));
    await on.getByText("Still to be said before anything can be judged").waitFor();
    await on.getByText("to do: still to be said").first().waitFor();
    expect(await field(on, "Inner diameter").getAttribute("placeholder")).toBeNull();
    await expectAccessible(on);
    await screens("survey-blank", `/site/${id}/survey`, (it) => it.getByText("An empty sheet").waitFor());
    const say = async (name: string, value: string) => {
      await field(on, name).first().fill(value);
      await field(on, name).first().press("Enter");
      await expect.poll(async () => (await textOf(id)).toString()).toContain(`"${value}"`);
    };
    await say("Inner diameter", "36 ft");
    await say("Eave", "24 ft");
    await on.getByRole("button", { name: "Lots" }).click();
    const crop = on.getByRole("combobox", { name: "Crop" });
    // Crops that a season can be worked for, and no others.
    expect(await crop.locator("option").allTextContents()).toContain("hard wheat");
    expect((await crop.locator("option").allTextContents()).join()).not.toMatch(/potato|pepper|clover/);
    await crop.selectOption("corn");
    await expect.poll(async () => (await textOf(id)).toString()).toContain('crop = "corn"');
    await say("Quantity", "15000 bu");
    await say("Moisture", "20 %");
    await say("First day of filling", "10-10");
    await on.getByRole("button", { name: "Outfit" }).click();
    await on.getByRole("button", { name: "Add a fan" }).click();
    await on.getByRole("combobox", { name: "Fan 1" }).selectOption("demo-centrifugal-10hp");
    await on.getByRole("button", { name: "Site", exact: false }).last().click();
    await say("Elevation", "700 ft");
    await say("Standard time", "-06:00");
    await on.getByRole("combobox", { name: "Weather record" }).selectOption("champaign");
    await expect.poll(async () => (await textOf(id)).toString()).toContain('"champaign"');
    await say("Mean moisture", "15.5 %");
    await say("Dry by", "12-15");
    await say("Hold until", "04-15");
    await on.getByText("The survey is usable").waitFor();
  }, 180_000);

  it("grows from a file without a bin, by keyboard, until it can be judged", async () => {
    const text = [
      "binwright = 1",
      "[place]",
      'elevation = "700 ft"',
      'utc_offset = "-06:00"',
      'weather = "champaign"',
      "[goal]",
      'mean_moisture = "15.5 %"',
      'by = "12-15"',
      'hold_until = "04-15"',
      "",
    ].join("\n");
    const id = await makeSite({ text, name: "from nothing" });
    const on = await page(await reader({ units: "us" }));
    const say = async (name: string, value: string) => {
      await field(on, name).first().fill(value);
      await field(on, name).first().press("Enter");
      await expect.poll(async () => (await textOf(id)).toString()).toContain(`"${value}"`);
    };
    await on.goto(at(`/site/${id}/survey`));
    await field(on, "Name").fill("east");
    await field(on, "Inner diameter").fill("30 ft");
    await field(on, "Inner diameter").press("Enter");
    await on.getByRole("heading", { name: "Bin east" }).waitFor();
    await on.screenshot({ path: `${SCREENS}/survey-begun-desktop-light.png`, fullPage: true });
    await expectAccessible(on);
    await say("Eave", "18 ft");
    await on.getByRole("button", { name: "Lots" }).press("Enter");
    await on.getByRole("button", { name: "Add a lot" }).press("Enter");
    await say("Moisture", "18.5 %");
    await say("First day of filling", "10-05");
    await say("Depth", "12 ft");
    await on.getByRole("button", { name: "Outfit" }).press("Enter");
    await on.getByRole("button", { name: "Add a fan" }).press("Enter");
    await on.getByText("The survey is usable").waitFor();
    await drawn(on, /bin east: 30\.0\sft across.*grain 12\.0\sft deep/);
    // Written as a person would write it.
    expect((await textOf(id)).toString()).toContain('[[bins.east.lots]]\ncrop = "corn"\nmoisture = "18.5 %"');
  });

  it("is used by keyboard from the first key", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader());
    await on.goto(at(`/site/${id}/survey`));
    await drawn(on, /Section through bin north/);
    // The form is fetched on its own; before it is there the stops end with the drawing.
    await on.getByRole("button", { name: "Lots" }).waitFor();
    await on.keyboard.press("Tab");
    await on.getByRole("link", { name: "To the drawing" }).press("Enter");
    expect(await on.evaluate(() => document.activeElement?.id)).toBe("main");
    // What has the focus is seen: every stop on the way has an outline or, in the drawing, a mark of its own.
    for (let i = 0; i < 12; i++) {
      await on.keyboard.press("Tab");
      const seen = await on.evaluate(() => {
        const active = document.activeElement;
        if (!active || active === document.body) return "nothing";
        const style = getComputedStyle(active);
        return style.outlineStyle !== "none" || active.matches("[role=slider]") ? "" : active.outerHTML;
      });
      expect(seen).toBe("");
    }
  });

  it("works on a phone", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ viewport: PHONE, units: "us" }));
    for (const part of ["bin", "lots", "outfit", "site"]) {
      await on.goto(at(`/site/${id}/survey?part=${part}`));
      await drawn(on, /Section through bin north/);
      await expectNoSideways(on);
    }
    await on.getByRole("button", { name: "Lots" }).click();
    await field(on, "Moisture").first().fill("19 %");
    await field(on, "Moisture").first().press("Enter");
    await expect.poll(async () => (await textOf(id)).toString()).toContain('moisture = "19 %"');
  });

  it("prints as a drawing: the section and its notes, no buttons", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ scheme: "dark", units: "us" }));
    await on.goto(at(`/site/${id}/survey`));
    await drawn(on, /Section through bin north/);
    await on.emulateMedia({ media: "print", colorScheme: "dark" });
    expect(await on.getByRole("button", { name: "Undo" }).isVisible()).toBe(false);
    expect(await on.locator("header nav").isVisible()).toBe(false);
    expect(await on.getByText("Bin", { exact: true }).first().isVisible()).toBe(true);
    // Ink on paper, however dark the screen was.
    expect(await on.locator("article").evaluate((it) => getComputedStyle(it).backgroundColor)).toBe(
      "rgb(255, 255, 255)",
    );
    await on.screenshot({ path: `${SCREENS}/survey-print.png`, fullPage: true });
    await on.pdf({
      path: `${SCREENS}/survey-print.pdf`,
      format: "Letter",
      landscape: true,
      printBackground: true,
    });
  });

  it("looks as it should", async () => {
    const id = await makeSite("demo");
    for (const part of ["bin", "lots", "outfit", "site"]) {
      await screens(`survey-${part}`, `/site/${id}/survey?part=${part}`, (on) =>
        drawn(on, /Section through bin north/),
      );
    }
    await screens("survey-text", `/site/${id}/survey?as=text`, (on) =>
      drawn(on, /Section through bin north/),
    );
  }, 240_000);
});
