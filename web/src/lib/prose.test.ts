import { describe, expect, it } from "vitest";
import { dayAndMonth, fullDate } from "../plots/dates";
import { inUnits, local, prose } from "./prose";
import { localNumber } from "./quantity";

describe("plain text of the program", () => {
  it("has numbers in the reader's style, but years as years", () => {
    expect(local("of 14201 legal bu")).toBe(`of ${localNumber(14201, 0)} legal bu`);
    expect(local("below 1546 USD, then 0.91 kWh")).toBe(
      `below ${localNumber(1546, 0)} USD, then ${localNumber(0.91, 2)} kWh`,
    );
    expect(local("2521 of 4502 hours are missing")).toBe(
      `${localNumber(2521, 0)} of ${localNumber(4502, 0)} hours are missing`,
    );
    expect(local("storage life spent (1996, 1998, 2000)")).toBe("storage life spent (1996, 1998, 2000)");
    expect(local("from 1995 to 2023")).toBe("from 1995 to 2023");
  });

  it("has dates in one style", () => {
    const day = (month: number, date: number, year = 2001) => Date.UTC(year, month - 1, date) / 86_400_000;
    expect(local("dry by 15 Dec")).toBe(`dry by ${dayAndMonth(day(12, 15))}`);
    expect(local("first 2024-01-01T05:00Z, and 2024-02-03")).toBe(
      `first ${fullDate(day(1, 1, 2024))}, 05:00 UTC, and ${fullDate(day(2, 3, 2024))}`,
    );
    expect(local("-06:00 and 12-15")).toBe("-06:00 and 12-15");
  });

  it("names keys of the site file as the forms do", () => {
    expect(prose("say moisture_sd where you know better")).toBe(
      "say “Spread of moisture between loads” where you know better",
    );
    expect(prose("add wettest_excess")).not.toContain("_");
    expect(prose("corn_os_b stays")).toBe("corn_os_b stays");
  });

  it("tells temperatures, lengths and speeds of an explanation in the reader's units", () => {
    const said = "air from -13.0\u00a0°C to 5.0\u00a0°C at 0.1 m/s, 3 K more, 0.3 m deep";
    expect(inUnits(said, "si")).toBe(said);
    const us = inUnits(said, "us");
    expect(us).toContain("from 8.6 °F to 41 °F");
    expect(us).toContain("ft/min");
    expect(us).not.toMatch(/°C| K | m\b/);
  });
});
