/** The parts of the survey and which of them a path belongs to. */

export const PARTS = ["bin", "lots", "outfit", "site", "supply", "yard"] as const;
export type Part = (typeof PARTS)[number];

export const PART_NAMES: Record<Part, string> = {
  bin: "Bin",
  lots: "Lots",
  outfit: "Outfit",
  site: "Site",
  supply: "Fuel and power",
  yard: "Yard",
};

/** Part and bin of a path like `bins.north.lots[0].crop`. */
export function partOf(path: string): { part: Part; bin: string | null } {
  if (/^(fuel|power)\b/.test(path)) return { part: "supply", bin: null };
  if (/^yard\b/.test(path)) return { part: "yard", bin: null };
  const match = /^bins\.(?:"([^"]*)"|([A-Za-z0-9_-]+))(?:\.(lots|outfit)\b)?/.exec(path);
  if (!match) return { part: path === "bins" ? "bin" : "site", bin: null };
  const bin = match[1] ?? match[2] ?? null;
  return { part: match[3] === "lots" ? "lots" : match[3] === "outfit" ? "outfit" : "bin", bin };
}
