/** Words for the states of the air path. */
import type { Fill } from "../../api/types";
import type { Mark } from "../../plots/model";
import type { FanChoice } from "../shapes";

/** What a working point is, in the program's own words. */
export function state(fill: Pick<Fill, "outcome_says" | "overload">): string {
  return fill.overload ? `${fill.outcome_says}; motor overloaded` : fill.outcome_says;
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
export function choiceState(
  choice: Pick<FanChoice, "outcome_says" | "overload" | "power_estimated">,
): string {
  return `${state(choice)}${choice.power_estimated ? "; power estimated" : ""}`;
}
