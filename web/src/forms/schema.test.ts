import { describe, expect, it } from "vitest";
import { entries, example, form, help, join, names, within } from "./schema";
import { label, labelAt, word } from "./words";

const paths = [
  "name",
  "bins.north.diameter",
  "bins.north.lots[0].crop",
  "bins.north.lots[1].crop",
  'bins."a.b".eave',
  "bins.north.outfit.fans[0]",
];

describe("paths", () => {
  it("name tables and count lists", () => {
    expect(names(paths, "bins")).toEqual(["north", "a.b"]);
    expect(entries(paths, "bins.north.lots")).toBe(2);
    expect(entries(paths, "bins.north.outfit.fans")).toBe(1);
    expect(entries(paths, "bins.south.lots")).toBe(0);
  });

  it("are joined as diagnostics write them", () => {
    expect(join("bins", "a.b")).toBe('bins."a.b"');
    expect(join("", "name")).toBe("name");
    expect(join("bins.north", "eave")).toBe("bins.north.eave");
  });

  it("lie within a place or not", () => {
    expect(within("bins.north.lots[0].crop", "bins.north.lots")).toBe(true);
    expect(within("bins.northern", "bins.north")).toBe(false);
    expect(within("bins.north", "bins.north")).toBe(true);
  });
});

describe("schemas", () => {
  it("say what field they ask for", () => {
    expect(form({ type: "string", pattern: "x" })).toBe("text");
    expect(form({ type: "string", enum: ["a"] })).toBe("words");
    expect(form({ type: "array", items: { type: "string" } })).toBe("names");
    expect(form({ type: "array", items: { type: "object" } })).toBe("tables");
    expect(form({ oneOf: [{ type: "string" }, { type: "object" }] })).toBe("name-or-table");
    expect(form({ type: "integer" })).toBe("number");
  });

  it("give an example and explain themselves in the reader's units", () => {
    const schema = { description: "Warmest air to use. Default 10 °C.", examples: ["50 °F", "10 °C"] };
    expect(example(schema, "us")).toBe("50 °F");
    expect(example(schema, "si")).toBe("10 °C");
    expect(help(schema, "us")).toBe("Warmest air to use. Default 50 °F. For example 50 °F.");
    expect(help({ description: "Default 0.3 m, 3 K, 0.1 m." }, "us")).toBe("Default 1 ft, 5.4 °F, 3.9 in.");
    expect(help({ examples: ["213 m", "700 ft"] }, "us")).toBe("For example 700 ft.");
    expect(help({ examples: ["0.12 $/kWh", "12 c/kWh", "0.30 EUR/kWh"] }, "us")).toContain("0.12 $/kWh");
  });

  it("have labels and choices in words", () => {
    expect(label("mean_moisture")).toBe("Mean moisture wanted");
    expect(label("something_new")).toBe("Something new");
    expect(labelAt("bins.north.outfit.control.kind", "kind")).toBe("Fans run");
    expect(labelAt("bins.north.lots[0].moisture", "moisture")).toBe("Moisture as filled");
    expect(word("humidity-window")).toBe("by the humidity of the air");
    expect(word("off", "burner.kind")).toBe("off");
    expect(word("unheard-of")).toBe("unheard of");
  });
});
