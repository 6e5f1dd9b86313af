import { describe, expect, it } from "vitest";
import { EventCutter } from "./stream";

const text = 'event: survey\ndata: {"a":\ndata: 1}\n\n: keep alive\n\nevent: end\r\ndata: {}\r\n\r\n';
const wanted = [
  { event: "survey", data: '{"a":\n1}' },
  { event: "end", data: "{}" },
];

describe("events", () => {
  it("are the same however the text is cut", () => {
    for (let cut = 0; cut <= text.length; cut++) {
      const cutter = new EventCutter();
      expect([...cutter.push(text.slice(0, cut)), ...cutter.push(text.slice(cut))]).toEqual(wanted);
    }
  });

  it("come one letter at a time", () => {
    const cutter = new EventCutter();
    expect([...text].flatMap((letter) => cutter.push(letter))).toEqual(wanted);
  });

  it("wait for their end", () => {
    expect(new EventCutter().push("data: 1\n")).toEqual([]);
  });
});
