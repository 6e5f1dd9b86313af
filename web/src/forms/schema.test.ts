import { describe, expect, it } from "vitest";
import { entries, form, join, label, names, within } from "./schema";

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
    expect(label("mean_moisture")).toBe("Mean moisture");
  });
});
