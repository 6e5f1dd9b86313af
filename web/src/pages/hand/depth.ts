/** The depth of the grain under the hand: on the drawing and as a slider, on every page that has it. */
import type { BinSurvey } from "../../api/types";
import { display, inUnit } from "../../lib/quantity";
import { settings } from "../../lib/settings.svelte";
import type { OpenSite } from "../../lib/site.svelte";
import { depthChanges } from "../../sheet/depth";
import type { DepthHandle } from "../../sheet/model";
import { fromSteps } from "./changes";
import type { Hand } from "./hand.svelte";

/** A tenth of a foot, or 5 cm. */
const size = () => (settings.units === "us" ? 0.1 : 0.05);

export const stepsOf = (metres: number) => Math.round(inUnit(metres, "length", settings.units) / size());
export const metresOf = (steps: number) => fromSteps(steps, size(), "length", settings.units);
export const depthWords = (metres: number) => display(metres, "length", settings.units);

/** `bin` as it is shown, `kept` as it is saved. */
export function depthHandle(
  site: OpenSite,
  hand: Hand,
  bin: BinSurvey | null,
  kept: BinSurvey | null,
): DepthHandle | null {
  if (!bin || !kept) return null;
  const changes = (depth: number) => depthChanges(site, kept, depth) ?? [];
  return {
    value_m: bin.depth_m,
    least_m: Math.min(0.3, bin.depth_m),
    most_m: Math.max(bin.eave_m, bin.depth_m),
    drag: (depth) => hand.drag("depth", changes(depth)),
    settle: (depth) => void hand.settle("depth", changes(depth), `grain ${depthWords(depth)} deep`),
  };
}
