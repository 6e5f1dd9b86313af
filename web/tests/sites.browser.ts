/** The register of sites, from the first start. */
import { readFile } from "node:fs/promises";
import { describe, expect, it } from "vitest";
import { at, expectAccessible, makeSite, page, reader, screens, textOf, useBrowser } from "./harness";

useBrowser();

/** Comments, spaces, an unusual order, a line end that is not everybody's, no line end at its end. */
const ODD = [
  "# brought in \t ",
  "binwright=1",
  'name = "as it is"',
  "[bins.west]",
  "diameter='8 m'   # measured",
  'eave = "5.5 m"',
  "",
]
  .join("\r\n")
  .concat("# ends without a line end; déjà vu");

describe("sites", () => {
  it("begin with the demonstration and lead to a verdict", async () => {
    const on = await page(await reader());
    await on.goto(at("/"));
    await on.getByRole("button", { name: "The demonstration" }).click();
    await on.getByRole("link", { name: "Judge it" }).click();
    await on.waitForURL(/\/risk/);
    // First about, then in earnest; either way in words of years.
    const verdict = on.locator("dl > div", { hasText: "Verdict" }).getByRole("definition");
    await expect.poll(() => verdict.textContent(), { timeout: 50_000 }).toMatch(/\d+ of 2\d years/);
    await on.reload();
    await expect.poll(() => verdict.textContent(), { timeout: 50_000 }).toMatch(/\d+ of 2\d years/);
  }, 120_000);

  it("come back to the register from the survey", async () => {
    const on = await page(await reader());
    await on.goto(at("/"));
    await on.getByRole("button", { name: "The demonstration" }).click();
    await on.waitForURL(/#\/site\/[^/]+\/survey/);
    await on.getByRole("heading", { name: "Survey", level: 1 }).waitFor();
    await on.getByText("DEMO: invented equipment").waitFor();
    await on.goBack();
    await on.getByRole("heading", { name: "Sites", level: 1 }).waitFor();
    await on.getByRole("link", { name: "demo", exact: true }).first().waitFor();
  });

  it("take a file and give it back byte for byte", async () => {
    const on = await page(await reader());
    await on.goto(at("/"));
    const file = { name: "odd.toml", mimeType: "application/toml", buffer: Buffer.from(ODD) };
    await on.locator('input[type="file"]').setInputFiles(file);
    await on.waitForURL(/#\/site\/[^/]+\/survey/);
    const id = /site\/([^/]+)\//.exec(on.url())?.[1] ?? "";
    expect((await textOf(id)).equals(Buffer.from(ODD))).toBe(true);
    await on.goto(at("/"));
    const download = on.waitForEvent("download");
    const row = on
      .getByRole("listitem")
      .filter({ has: on.getByRole("link", { name: "odd", exact: true }) })
      .first();
    await row.getByRole("link", { name: "Export text" }).click();
    const exported = await download;
    expect(exported.suggestedFilename()).toBe("odd.toml");
    expect((await readFile(await exported.path())).equals(Buffer.from(ODD))).toBe(true);
  });

  it("refuse a file that is no text, and say so", async () => {
    const on = await page(await reader());
    await on.goto(at("/"));
    const file = {
      name: "picture.toml",
      mimeType: "image/png",
      buffer: Buffer.from([0x89, 0x50, 0xff, 0xfe, 0x00]),
    };
    await on.locator('input[type="file"]').setInputFiles(file);
    await on.getByRole("alert").filter({ hasText: "picture.toml is no text" }).waitFor();
  });

  it("are renamed, duplicated, deleted and taken back by keyboard", async () => {
    const name = `keys ${Date.now()}`;
    const id = await makeSite("demo");
    const on = await page(await reader());
    await on.goto(at("/"));
    const entry = on.locator("li", { has: on.locator(`a[href="#/site/${id}/survey"]`) }).first();
    await entry.getByRole("button", { name: "Rename" }).press("Enter");
    await on.getByRole("textbox", { name: /New name/ }).fill(name);
    await on.getByRole("textbox", { name: /New name/ }).press("Enter");
    await on.getByRole("link", { name, exact: true }).waitFor();
    await entry.getByRole("button", { name: "Duplicate" }).press("Enter");
    await on.getByRole("link", { name: `${name} (copy)` }).waitFor();
    await entry.getByRole("button", { name: "Delete" }).press("Enter");
    await on.getByText(`${name} is deleted.`).waitFor();
    expect(await on.getByRole("link", { name, exact: true }).count()).toBe(0);
    await on.getByRole("button", { name: "Take it back" }).press("Enter");
    await on.getByRole("link", { name, exact: true }).waitFor();
    // Leaving the page carries a deletion out.
    await entry.getByRole("button", { name: "Delete" }).press("Enter");
    await on.getByRole("link", { name: "Quick air question" }).click();
    await on.getByRole("link", { name: "Sites", exact: true }).click();
    await on.getByRole("link", { name: `${name} (copy)` }).waitFor();
    await expect.poll(async () => on.getByRole("link", { name, exact: true }).count()).toBe(0);
  });

  it("keep their history, which has its address and restores", async () => {
    const id = await makeSite("demo");
    const before = await textOf(id);
    const on = await page(await reader());
    await on.goto(at(`/site/${id}/survey?part=bin`));
    await on.getByRole("textbox", { name: "Diameter" }).fill("30 ft");
    await on.getByRole("textbox", { name: "Diameter" }).press("Enter");
    await expect.poll(async () => (await textOf(id)).toString()).toContain('diameter = "30 ft"');
    await on.goto(at(`/?history=${id}`));
    await on.getByRole("heading", { name: /History of/ }).waitFor();
    await on.reload();
    await on.getByRole("button", { name: "Text of version 1" }).click();
    await expect
      .poll(() => on.getByRole("textbox", { name: "Text of version 1" }).inputValue())
      .toContain("36 ft");
    await expectAccessible(on);
    await on.getByRole("button", { name: "Restore version 1" }).click();
    await expect.poll(async () => (await textOf(id)).equals(before)).toBe(true);
  });

  it("give everything they name as one archive", async () => {
    const id = await makeSite("demo");
    const on = await page(await reader());
    await on.goto(at("/"));
    const entry = on.locator("li", { has: on.locator(`a[href="#/site/${id}/survey"]`) }).first();
    const download = on.waitForEvent("download");
    await entry.getByRole("link", { name: "Export all" }).click();
    const archive = await readFile(await (await download).path());
    expect(archive.subarray(0, 2).toString()).toBe("PK");
    expect(archive.includes("site.toml") || archive.includes(".toml")).toBe(true);
  });

  it("look as they should", async () => {
    await makeSite("demo");
    await screens("sites", "/", (on) => on.getByRole("button", { name: "The demonstration" }).waitFor());
  }, 120_000);
});
