import { describe, expect, it } from "vitest";
import type { BinSurvey } from "../api/types";
import type { OpenSite } from "../lib/site.svelte";
import { depthChanges, leadingNumber, scaled } from "./depth";

describe("texts with a number", () => {
  it("are scaled in their own spelling", () => {
    expect(scaled("15000 bu", 0.5)).toBe("7500 bu");
    expect(scaled("18 ft", 1.0123)).toBe("18.22 ft");
    expect(scaled("  5.5m ", 2)).toBe("  11m ");
    expect(scaled("deep", 2)).toBeNull();
    expect(leadingNumber("−3.5 m")).toBe(-3.5);
  });
});

describe("depth", () => {
  const lot = { depth_after_m: 2 };
  const bin = { bin: "north", lots: [lot, { depth_after_m: 6 }] } as BinSurvey;
  const fields = [
    { path: "bins.north.lots[0].quantity", value_text: "5000 bu", line: 1 },
    { path: "bins.north.lots[1].quantity", value_text: "10000 bu", line: 2 },
  ];

  it("scales the last lot above what lies below it", () => {
    const changes = depthChanges({ fields } as unknown as OpenSite, bin, 5);
    expect(changes).toEqual([{ path: "bins.north.lots[1].quantity", value_text: "7500 bu" }]);
  });

  it("cannot be dragged in a bin without a lot", () => {
    expect(depthChanges({ fields } as unknown as OpenSite, { ...bin, lots: [] }, 5)).toBeNull();
  });
});
