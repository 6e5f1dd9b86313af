import { describe, expect, it } from "vitest";
import {
  asKey,
  empty,
  emptyFan,
  type FanForm,
  fanFrom,
  fansIn,
  fanTable,
  pasted,
  withFan,
  withoutFan,
} from "./catalogue";

const fan = (change: Partial<FanForm> = {}): FanForm => ({
  ...emptyFan(true),
  name: "barn fan 1",
  kind: "tube-axial",
  motor: "10",
  speed: "1750",
  source: 'plate, "as read"',
  rows: [
    { pressure: "0", airflow: "12,000", power: "" },
    { pressure: "1 kPa", airflow: "9000", power: "" },
    { pressure: "", airflow: "", power: "" },
  ],
  ...change,
});

describe("a fan of one's own", () => {
  it("is written as a table of the catalogue", () => {
    expect(fanTable(fan())).toBe(
      [
        "[fans.barn-fan-1]",
        'kind = "tube-axial"',
        'origin = "published"',
        'motor = "10 hp"',
        "speed = 1750",
        'source = "plate, \\"as read\\""',
        "points = [",
        '    ["0 in wc", "12000 cfm"],',
        '    ["1 kPa", "9000 cfm"],',
        "]",
        "",
      ].join("\n"),
    );
  });

  it("comes back as it was typed, with the units of its columns", () => {
    const text = withFan("", fan());
    const back = fanFrom(text, "barn-fan-1");
    expect(back).toMatchObject({
      kind: "tube-axial",
      motor: "10 hp",
      speed: "1750",
      source: 'plate, "as read"',
    });
    expect(back?.rows).toEqual([
      { pressure: "0 in wc", airflow: "12000 cfm", power: "" },
      { pressure: "1 kPa", airflow: "9000 cfm", power: "" },
    ]);
    expect(back && withFan(text, back)).toBe(text);
  });

  it("leaves what else stands in the catalogue", () => {
    const before = '# mine\n[fans.old]\nkind = "other" # as bought\n\n[burners.b]\nfuel = "propane"\n';
    const both = withFan(before, fan());
    expect(both.startsWith(before.trimEnd())).toBe(true);
    expect(fansIn(both)).toEqual(["old", "barn-fan-1"]);
    expect(withoutFan(both, "barn-fan-1").trimEnd()).toBe(before.trimEnd());
    const other = withFan(both, fan({ name: "new", motor: "5" }), "barn-fan-1");
    expect(fansIn(other)).toEqual(["old", "new"]);
    expect(other).toContain("[burners.b]");
  });

  it("that says more than this form keeps is not opened in it", () => {
    expect(fanFrom('[fans.a]\nkind = "other"\nservice_factor = 1.15\n', "a")).toBeNull();
    expect(fanFrom("[fans.a]\n", "b")).toBeNull();
  });

  it("has a name without spaces", () => {
    expect(asKey(" North fan, 10 hp ")).toBe("North-fan-10-hp");
    expect(asKey("..x")).toBe("x");
  });

  it("takes a table that was copied elsewhere", () => {
    expect(pasted("0\t12000\t8.1\n0.5\t11500\t8.4\n\n")).toEqual([
      { pressure: "0", airflow: "12000", power: "8.1" },
      { pressure: "0.5", airflow: "11500", power: "8.4" },
    ]);
    expect(pasted("0 in wc;12000 cfm")).toEqual([{ pressure: "0 in wc", airflow: "12000 cfm", power: "" }]);
  });

  it("was the last one: nothing but notes is left", () => {
    expect(empty("# mine\n\n")).toBe(true);
    expect(empty("[burners.b]")).toBe(false);
  });
});
