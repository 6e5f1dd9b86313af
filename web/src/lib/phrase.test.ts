import { describe, expect, it } from "vitest";
import type { Phrase } from "../api/types";
import golden from "../generated/phrases.json";
import { render, say, sentence } from "./phrase";
import { display, fromUnit, inUnit, localNumber, show } from "./quantity";

describe("quantities", () => {
  it("look as the program writes them", () => {
    expect(golden.quantities.length).toBeGreaterThan(500);
    for (const { kind, value, si, us } of golden.quantities) {
      expect([kind, value, show(value, kind, "si"), show(value, kind, "us")]).toEqual([kind, value, si, us]);
    }
  });

  it("go to the unit shown and back", () => {
    for (const { kind, value } of golden.quantities) {
      for (const system of ["si", "us"] as const) {
        const back = fromUnit(inUnit(value, kind, system), kind, system);
        expect(Math.abs(back - value)).toBeLessThanOrEqual(1e-12 * Math.max(1, Math.abs(value)));
      }
    }
  });

  it("without a number say so", () => {
    expect(display(null, "days", "us")).toBe("not reached");
    expect(display(Number.NaN, "days", "us")).toBe("not reached");
  });

  it("never show a negative nothing", () => {
    expect(localNumber(-0.001, 1)).toBe(localNumber(0, 1));
    expect(localNumber(-0.06, 1)).not.toBe(localNumber(0.06, 1));
  });
});

describe("phrases", () => {
  it("read as the program renders them", () => {
    for (const { phrase, si, us } of golden.phrases) {
      expect([render(phrase as Phrase, "si"), render(phrase as Phrase, "us")]).toEqual([si, us]);
    }
  });

  it("become sentences", () => {
    expect(sentence("the fan cannot")).toBe("The fan cannot.");
    expect(sentence("done.")).toBe("Done.");
    expect(say({ template: "{n} years", fillings: [["n", 29]] }, "si")).toBe("29 years.");
  });
});
