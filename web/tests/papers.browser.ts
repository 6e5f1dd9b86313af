/** Papers: what can be printed of a bin, seen and saved. */
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

useBrowser();

describe("papers", () => {
  it("are listed with what each holds, seen and saved", { timeout: 240_000 }, async () => {
    const id = await makeSite("demo");
    const on = await page(await reader({ viewport: PHONE, units: "us" }));
    await on.goto(at(`/site/${id}/papers`));
    await on.getByRole("heading", { name: "Operating card" }).waitFor();
    await expectNoSideways(on);
    await expectAccessible(on);
    await on.screenshot({ path: `${SCREENS}/papers-phone.png`, fullPage: true });
    await on.getByRole("button", { name: /See it\s*: Operating card/ }).click();
    const card = on.frameLocator("iframe");
    await card.getByRole("heading", { name: /Operating card/ }).waitFor({ timeout: 200_000 });
    await card.getByRole("heading", { name: "Read every week" }).waitFor();
    await expectNoSideways(on);
    await expectAccessible(on);
    await on.screenshot({ path: `${SCREENS}/papers-card-phone.png` });
    await on.setViewportSize(DESKTOP);
    await on.getByRole("button", { name: /See it\s*: Load sheets/ }).click();
    await card.getByRole("heading", { name: /Load sheets/ }).waitFor({ timeout: 60_000 });
    await on.screenshot({ path: `${SCREENS}/papers-desktop.png`, fullPage: true });
    const saved = on.waitForEvent("download", { timeout: 60_000 });
    await on.getByRole("button", { name: /Save as web page\s*: Operating card/ }).click();
    expect((await saved).suggestedFilename()).toBe("card-north.html");
  });
});
