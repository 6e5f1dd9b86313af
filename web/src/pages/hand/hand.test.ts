import { expect, it } from "vitest";
import type { Change } from "../../api/types";
import type { OpenSite } from "../../lib/site.svelte";
import { Hand } from "./hand.svelte";

/** A site that notes what it is told to keep. */
function site(saves = true) {
  const kept: { changes: Change[]; note: string | undefined }[] = [];
  const open = {
    fields: [{ path: "goal.mean_moisture", value_text: '"15.5 %"', line: 1 }],
    settle: async (changes: Change[], note?: string) => {
      kept.push({ changes, note });
      return saves;
    },
    undo: async () => saves,
  };
  return { open: open as unknown as OpenSite, kept };
}

const wet: Change = { path: "bins.north.lots[0].moisture", value_text: "18 %" };
const fans: Change = { path: "bins.north.outfit.fans", value_text: '["a"]' };

it("what several handles do is asked about together", () => {
  const asked: Change[][] = [];
  const hand = new Hand(site().open, (changes) => asked.push(changes));
  hand.drag("wet", [wet]);
  hand.drag("fans", [fans]);
  hand.drag("wet", [{ ...wet, value_text: "17 %" }]);
  expect(
    asked
      .at(-1)
      ?.map((change) => change.value_text)
      .sort(),
  ).toEqual(['["a"]', "17 %"].sort());
  hand.putBack("wet");
  expect(asked.at(-1)).toEqual([fans]);
});

it("a handle let go is kept alone, and what is only tried stays under the hand", async () => {
  const { open, kept } = site();
  const hand = new Hand(open, () => {});
  hand.drag("fans", [fans]);
  hand.drag("wet", [wet]);
  await hand.settle("wet", [wet], "moisture 18 %");
  expect(kept).toEqual([{ changes: [wet], note: "moisture 18 %" }]);
  expect(hand.kept).toBe("moisture 18 %");
  expect(hand.changes).toEqual([fans]);
});

it("a handle let go where it stood makes no version", async () => {
  const { open, kept } = site();
  const asked: Change[][] = [];
  const hand = new Hand(open, (changes) => asked.push(changes));
  await hand.settle("target", [{ path: "goal.mean_moisture", value_text: "15.5 %" }], "as it was");
  expect(kept).toEqual([]);
  expect(asked).toEqual([[]]);
});

it("what could not be kept is not said to be", async () => {
  const hand = new Hand(site(false).open, () => {});
  await hand.settle("wet", [wet], "moisture 18 %");
  expect(hand.kept).toBeNull();
  expect(hand.busy).toBe(false);
});

it("what was kept is taken back once", async () => {
  const hand = new Hand(site().open, () => {});
  await hand.settle("wet", [wet], "moisture 18 %");
  await hand.undo();
  expect(hand.kept).toBeNull();
});
