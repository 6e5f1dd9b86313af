/** A program with a password: nothing is shown before it is given. */
import { execFileSync } from "node:child_process";
import { rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, it } from "vitest";
import { expectAccessible, page, reader, useBrowser } from "./harness";
import { folder, launch, PROGRAM, type Running } from "./program";

useBrowser();

const PASSWORD = "a password of some length";

describe.skipIf(process.env.BINWRIGHT_URL)("with a password", () => {
  const data = folder();
  let running: Running;

  beforeAll(async () => {
    const file = join(data, "password.txt");
    writeFileSync(file, `${PASSWORD}\n`);
    execFileSync(PROGRAM, ["password", "--data", data, "--password-file", file], { stdio: "ignore" });
    running = await launch(data);
  });

  afterAll(async () => {
    await running?.end();
    rmSync(data, { recursive: true, force: true });
  });

  it("asks for it, refuses a wrong one, and lets out again", async () => {
    const on = await page(await reader(), running.address);
    await on.goto(`${running.address}/#/`);
    const field = on.getByLabel("Password");
    await field.waitFor();
    await expectAccessible(on);
    await field.fill("another one altogether");
    await field.press("Enter");
    await on.getByRole("alert").filter({ hasText: "wrong password" }).waitFor();
    await field.fill(PASSWORD);
    await field.press("Enter");
    await on.getByRole("button", { name: "The demonstration" }).waitFor();
    await on.reload();
    await on.getByRole("button", { name: "The demonstration" }).waitFor();
    await on.getByRole("button", { name: "Sign out" }).click();
    await field.waitFor();
  });
});
