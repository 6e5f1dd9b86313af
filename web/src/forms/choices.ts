/** Lists to choose from: what stands in the site file, and what it is. */
import { inUnit, localNumber, shown } from "../lib/quantity";
import type { UnitSystem } from "../lib/settings.svelte";

export interface Choice {
  value: string;
  says: string;
  /** Heading it stands under. */
  group?: string;
}

interface Known {
  confidence: string;
}

/** A crop with how well each thing is known of it. */
export interface Crop {
  id: string;
  name: string;
  aliases: string[];
  grain: boolean;
  equilibrium: Known;
  resistance: Known;
  heat: Known;
  relations: string[];
  relation_words: string[];
}

/** A motor by its rating, a round number in one of the two systems: "10 hp", "7.5 kW". */
export function rated(watts: number, units: UnitSystem): string {
  const value = inUnit(watts, "shaft-power", units);
  const tenths = Math.round(10 * value);
  return `${localNumber(value, tenths % 10 === 0 ? 0 : 1)}\u00a0${shown("shaft-power", units).unit}`;
}

const FAMILIES: readonly (readonly [string, RegExp])[] = [
  ["Cereals", /^(barley|buckwheat|corn|oats|popcorn|rice|rye|sorghum|wheat)/],
  ["Oilseeds", /^(canola|cottonseed|flax|peanut|soybean|sunflower)/],
  ["Pulses", /^(bean|chickpea|lentil|pea$)/],
];
const OTHERS = "Others";

/** Crops that can be worked: a season asks for equilibrium and resistance, air against grain for resistance alone. */
export function cropChoices(crops: readonly Crop[], need: "season" | "air"): Choice[] {
  const known = (one: Known) => one.confidence !== "missing";
  const fit = crops.filter(
    (crop) => crop.grain && known(crop.resistance) && (need === "air" || known(crop.equilibrium)),
  );
  const family = (id: string) => FAMILIES.find(([, ids]) => ids.test(id))?.[0] ?? OTHERS;
  const order = [...FAMILIES.map(([name]) => name), OTHERS];
  return fit
    .map((crop) => ({ value: crop.id, says: crop.name, group: family(crop.id) }))
    .sort((a, b) => order.indexOf(a.group) - order.indexOf(b.group) || a.says.localeCompare(b.says));
}

/** Choices under their headings, in order of appearance. */
export function grouped(choices: readonly Choice[]): [string, Choice[]][] {
  const groups = new Map<string, Choice[]>();
  for (const choice of choices) {
    const group = choice.group ?? "";
    groups.set(group, [...(groups.get(group) ?? []), choice]);
  }
  return [...groups];
}
