import { afterEach, beforeEach, expect, it, vi } from "vitest";
import { instant, Outbox, type Shelf, unique } from "./outbox.svelte";

function shelf(): Shelf {
  const held = new Map<string, string>();
  return {
    get length() {
      return held.size;
    },
    key: (i) => [...held.keys()][i] ?? null,
    getItem: (key) => held.get(key) ?? null,
    setItem: (key, value) => {
      held.set(key, value);
    },
    removeItem: (key) => {
      held.delete(key);
    },
  };
}

const entry = (value: string, field = "pressure.plenum") => ({
  visit: "v1",
  bin: "north",
  field,
  value,
  at: instant(),
  by: "A. Reader",
  instrument: "",
  note: "",
  replaces: null,
});

/** A program that keeps readings once by their id, refuses furlongs, and may be down. */
class FakeProgram {
  down = false;
  readonly rows = new Map<string, { value: string }>();
  posts = 0;

  answer = async (path: RequestInfo | URL, call?: RequestInit): Promise<Response> => {
    if (this.down) throw new TypeError("no answer");
    if (call?.method === "DELETE") {
      const id = new URL(String(path), "http://page/").pathname.split("/").at(-1) ?? "";
      return new Response(null, { status: this.rows.delete(id) ? 204 : 404 });
    }
    this.posts += 1;
    const { readings } = JSON.parse(String(call?.body)) as { readings: { id: string; value: string }[] };
    const kept = readings.map(({ id, value }) => {
      if (value.includes("furlong")) {
        return { id, outcome: "refused", diagnostics: [{ found: "unknown unit", help: "write Pa" }] };
      }
      const outcome = this.rows.has(id) ? "known" : "new";
      this.rows.set(id, { value });
      return { id, outcome, diagnostics: [] };
    });
    return Response.json({ readings: kept });
  };
}

let program: FakeProgram;
beforeEach(() => {
  program = new FakeProgram();
  vi.stubGlobal("fetch", program.answer);
  vi.useFakeTimers();
});
afterEach(() => {
  vi.unstubAllGlobals();
  vi.useRealTimers();
});

it("keeps what is entered while the program is down, over a reload, and sends it once when it is back", async () => {
  const drawer = shelf();
  program.down = true;
  const first = new Outbox("s", drawer);
  first.add(entry("4.05 in wc"));
  first.add(entry("4.00 in wc"));
  await vi.advanceTimersByTimeAsync(10);
  expect(first.trouble).toMatch(/does not answer/);
  expect(first.waiting).toHaveLength(2);
  first.stop();

  const second = new Outbox("s", drawer);
  expect(second.waiting.map((one) => one.value)).toEqual(["4.05 in wc", "4.00 in wc"]);
  await second.send();
  expect(second.trouble).not.toBeNull();
  program.down = false;
  await vi.advanceTimersByTimeAsync(5000);
  expect(second.trouble).toBeNull();
  expect(second.waiting).toHaveLength(0);
  expect([...program.rows.values()].map((row) => row.value).sort()).toEqual(["4.00 in wc", "4.05 in wc"]);
  const posts = program.posts;
  await second.send();
  expect(program.posts).toBe(posts);
});

it("an answer that was lost on the way makes no second reading", async () => {
  const box = new Outbox("s", shelf());
  let lost = true;
  vi.stubGlobal("fetch", async (path: RequestInfo | URL, call?: RequestInit) => {
    const answer = await program.answer(path, call);
    if (!lost) return answer;
    lost = false;
    throw new TypeError("connection gone");
  });
  box.add(entry("4.05 in wc"));
  await vi.advanceTimersByTimeAsync(6000);
  expect(program.posts).toBe(2);
  expect(program.rows.size).toBe(1);
  expect(box.entries.map((one) => one.state)).toEqual(["kept"]);
});

it("a refused entry stays with its reason and holds back no other", async () => {
  const box = new Outbox("s", shelf());
  box.add(entry("2 furlongs"));
  box.add(entry("50 F", "air.outdoor"));
  await vi.advanceTimersByTimeAsync(10);
  expect(box.refused("v1", "pressure.plenum")[0]?.why).toBe("unknown unit; write Pa");
  expect(box.standing("v1", "pressure.plenum")).toEqual([]);
  expect(box.standing("v1", "air.outdoor")[0]?.state).toBe("kept");
});

it("what replaces another stands alone; what is taken away is taken away at the program too", async () => {
  const box = new Outbox("s", shelf());
  box.add(entry("18 ft", "state.depth"));
  await vi.advanceTimersByTimeAsync(10);
  const first = box.standing("v1", "state.depth")[0];
  box.add({ ...entry("18 ft 4 in", "state.depth"), replaces: first?.id ?? null });
  await vi.advanceTimersByTimeAsync(10);
  const now = box.standing("v1", "state.depth");
  expect(now.map((one) => one.value)).toEqual(["18 ft 4 in"]);
  if (now[0]) box.takeBack(now[0]);
  await vi.advanceTimersByTimeAsync(10);
  expect([...program.rows.values()].map((row) => row.value)).toEqual(["18 ft"]);
});

it("ids are long and new each time; an instant says the offset of the clock", () => {
  expect(new Set(Array.from({ length: 100 }, unique)).size).toBe(100);
  expect(unique()).toMatch(/^[0-9a-f]{32}$/);
  expect(instant(new Date("2026-10-16T19:03:00Z"))).toMatch(/^2026-10-1\dT\d\d:03:00[+-]\d\d:\d\d$/);
});
