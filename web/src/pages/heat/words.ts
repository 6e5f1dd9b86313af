/** Words of the heat page. */
import type { Element, FiringRow, Train } from "./shapes";

const FUELS: Readonly<Record<string, string>> = {
  propane: "propane",
  "natural-gas": "natural gas",
  electric: "electric heat",
};

export const fuel = (word: string) => FUELS[word] ?? word;

const FIRINGS: Readonly<Record<string, string>> = {
  "on-off": "On and off",
  "high-low": "High and low",
  modulating: "Modulating",
};

export const firing = (row: Pick<FiringRow, "firing">) => FIRINGS[row.firing] ?? row.firing;

/** What stands at an element of the train, and what the two figures are. */
export function element(train: Train, one: Element): { name: string; what: string } {
  switch (one.element) {
    case "supply":
      if (train.feed === "main") return { name: "Meter and main", what: "gas passed" };
      if (train.feed === "liquid") return { name: "Vaporizer", what: "gas boiled" };
      return {
        name: train.tanks && train.tanks.count > 1 ? `${train.tanks.count} tanks` : "Tank",
        what: "vapor boiled at the lowest fill, in the cold",
      };
    case "supply-pressure":
      return {
        name: train.feed === "main" ? "Pressure of the main" : "Pressure of the supply",
        what: "ahead of the line",
      };
    case "regulator":
      return { name: `Regulator ${one.number}`, what: "pressure at its inlet" };
    case "pipe":
      return one.number
        ? { name: `Pipe behind regulator ${one.number}`, what: "gas carried" }
        : { name: "Pipe from the main", what: "gas carried" };
    case "burner-pressure":
      return { name: "At the burner", what: "pressure at the orifice" };
    default:
      return { name: "Orifice", what: "fire passed" };
  }
}

const SHARING: Readonly<Record<string, string>> = {
  "in-step": "all together",
  "in-sequence": "one after the other",
  "on-their-own": "each on its own",
};

export const sharing = (word: string) => SHARING[word] ?? word;

/** Where the burner stands. */
export function stand(side: string): string {
  return side === "none" ? "no fire" : side === "inlet" ? "before the fan" : "after the fan";
}

/** What can be said of a limit at a dwelling. */
export function limit(verdict: string | null): string {
  if (verdict === "kept") return "kept";
  if (verdict === "exceeded") return "exceeded";
  return verdict === null ? "no limit said" : "only a measurement can tell";
}
