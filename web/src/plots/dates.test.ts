import { expect, it } from "vitest";
import { dateAndHour, dayOf, offsetOf, overlaid } from "./dates";
import { epochDay } from "./ticks";

it("days are those of the site's own clock", () => {
  expect(dayOf("1995-10-24T18:00:00-06:00")).toBeCloseTo(epochDay(1995, 10, 24) + 0.75, 9);
  expect(dayOf("1995-10-24T18:00:00+09:30")).toBeCloseTo(epochDay(1995, 10, 24) + 0.75, 9);
  expect(dayOf("1995-10-24")).toBe(epochDay(1995, 10, 24));
  expect(dayOf(null)).toBeNaN();
});

it("offsets have their sign", () => {
  expect(offsetOf("1995-10-24T18:00:00-06:00")).toBeCloseTo(-0.25, 12);
  expect(offsetOf("1995-10-24T18:00:00+05:30")).toBeCloseTo(5.5 / 24, 12);
  expect(offsetOf("1995-10-24T18:00:00Z")).toBe(0);
});

it("dates of all years lie over one another from spring to the end of winter", () => {
  for (const year of [1995, 1996, 1999, 2000]) {
    for (const [month, day] of [
      [3, 1],
      [10, 10],
      [12, 31],
    ] as const) {
      expect(overlaid(epochDay(year, month, day), year, 2001)).toBe(epochDay(2001, month, day));
    }
    expect(overlaid(epochDay(year + 1, 2, 28), year, 2001)).toBe(epochDay(2002, 2, 28));
  }
});

it("an hour is told unless it is midnight", () => {
  expect(dateAndHour(epochDay(2009, 11, 14) + 0.25)).toMatch(/06:00$/);
  expect(dateAndHour(epochDay(2009, 11, 14))).not.toMatch(/:/);
});
