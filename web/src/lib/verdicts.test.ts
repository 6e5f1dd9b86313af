import { beforeEach, describe, expect, it, vi } from "vitest";
import { knownWords, verdicts } from "./verdicts.svelte";

const VERDICT = { good: 22, of: 28, reached: false };

beforeEach(() => {
  const kept = new Map<string, string>();
  vi.stubGlobal("localStorage", {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => void kept.set(key, value),
  });
});

describe("the last verdict", () => {
  it("is of the very text, records and model it was reached on", () => {
    expect(verdicts.of("s", "north", "aa", "2")).toBeNull();
    verdicts.keep("s", "north", "aa", "2", VERDICT);
    expect(verdicts.of("s", "north", "aa", "2")).toMatchObject({ of: "this", verdict: VERDICT });
    expect(verdicts.of("s", "north", "bb", "2")?.of).toBe("earlier");
    expect(verdicts.of("s", "north", "aa", "3")?.of).toBe("earlier");
    expect(verdicts.of("s", "north", "aa", null)?.of).toBe("earlier");
    expect(verdicts.of("s", "south", "aa", "2")).toBeNull();
  });

  it("is told as one of an earlier text when it is", () => {
    expect(knownWords(null)).toBe("not judged yet");
    expect(knownWords({ of: "this", verdict: VERDICT })).toBe("22 of 28 years good, goal missed");
    expect(knownWords({ of: "earlier", verdict: VERDICT })).toContain("an earlier text: 22 of 28");
  });

  it("that cannot be read is none", () => {
    localStorage.setItem("binwright.verdict.s.north", '{"good": "many"}');
    expect(verdicts.of("s", "north", "aa", "2")).toBeNull();
    localStorage.setItem("binwright.verdict.s.north", "{");
    expect(verdicts.of("s", "north", "aa", "2")).toBeNull();
  });
});
