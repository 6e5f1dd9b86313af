/** Words for the states of the air path. */
import type { Fill } from "../../api/types";
import type { Mark } from "../../plots/model";

/** What a working point is, as the program's report says it. */
export function state(fill: Pick<Fill, "outcome" | "overload">): string {
  const words: Record<Fill["outcome"], string> = {
    works: "stable",
    "held-below-first": "below the first point of the fan table: airflow held",
    unstable: "unstable: left of the peak of the fan curve",
    "beyond-curve": "beyond the fan curve: no airflow",
    off: "off",
  };
  return fill.overload ? `${words[fill.outcome]}; motor overloaded` : words[fill.outcome];
}

/** Its shape on a plot. */
export function shape(fill: Pick<Fill, "outcome">): Mark {
  return fill.outcome === "works" ? "met" : fill.outcome === "held-below-first" ? "held" : "failed";
}

/** Air per tonne as filled, m³/(h·t): how much of the world states it. */
export function perTonne(specific_1_s: number, bulk_density_kg_m3: number): number {
  return (specific_1_s * 3600 * 1000) / bulk_density_kg_m3;
}

/** State of a choice of the catalogue at the depth asked about. */
export function choiceState(choice: {
  outcome: string;
  overload: boolean;
  power_estimated: boolean;
}): string {
  const words: Record<string, string> = {
    works: "stable",
    "below-first-point": "below its first point: airflow held",
    unstable: "unstable",
    "beyond-curve": "beyond its curve",
    off: "off",
  };
  const parts = [words[choice.outcome] ?? choice.outcome];
  if (choice.overload) parts.push("motor overloaded");
  if (choice.power_estimated) parts.push("power estimated");
  return parts.join("; ");
}
