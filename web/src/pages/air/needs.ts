/** How much air the trade asks for what, with the publication each figure was read in.
 *
 * Figures stand per volume bushel as the publications state them, or per tonne where they do so. They are customs of regions
 * and crops, not limits: where two disagree, both stand here. */
import type { BinAir } from "../../api/types";

/** 1 cfm a volume bushel in m³/s a m³ of grain: exact sizes of the cubic foot and of the bushel of 2150.42 in³. */
const CFM_BU = 0.3048 ** 3 / 60 / (2150.42 * 0.0254 ** 3);

export interface Need {
  purpose: string;
  /** m³/s of air a m³ of grain. */
  low: number;
  high: number;
  source: string;
}

interface Figure {
  purpose: string;
  crops: "all" | readonly string[];
  cfm_bu?: readonly [number, number];
  /** m³/(h·t). */
  per_tonne?: readonly [number, number];
  source: string;
}

const FIGURES: readonly Figure[] = [
  {
    purpose: "aeration, round bins",
    crops: "all",
    cfm_bu: [0.1, 0.1],
    source: "Bridges and White, Kentucky extension bulletin on aeration",
  },
  {
    purpose: "aeration, Canada",
    crops: "all",
    cfm_bu: [0.075, 0.15],
    source: "Canadian extension answer page: 1 to 2 L/s per m³",
  },
  {
    purpose: "aeration, Brazil: least to most",
    crops: "all",
    per_tonne: [11.5, 22.9],
    source: "Bertomeu 2020, table 1",
  },
  {
    purpose: "natural air, to 20 %",
    crops: ["corn"],
    cfm_bu: [1, 1.25],
    source: "Hellevang 2010, northern plains",
  },
  {
    purpose: "natural air, to 22 %",
    crops: ["corn"],
    per_tonne: [62.4, 62.4],
    source: "Bertomeu 2020",
  },
  {
    purpose: "natural air, 22 to 24 %",
    crops: ["corn"],
    per_tonne: [124.9, 124.9],
    source: "Bertomeu 2020",
  },
  {
    purpose: "natural air, to 16 %",
    crops: ["soybean"],
    cfm_bu: [1, 1],
    source: "Hellevang 2020",
  },
  {
    purpose: "natural air, at 18 %",
    crops: ["soybean"],
    cfm_bu: [1.5, 1.5],
    source: "Hellevang 2020",
  },
  {
    purpose: "natural air, at 17 %",
    crops: ["wheat"],
    cfm_bu: [0.75, 0.75],
    source: "Hellevang 2020",
  },
  {
    purpose: "drying and cooling of small grain",
    crops: ["wheat", "barley", "oats"],
    per_tonne: [31.2, 62.4],
    source: "Bertomeu 2020",
  },
  {
    purpose: "natural air, prairies",
    crops: ["wheat", "barley", "oats"],
    cfm_bu: [0.75, 0.75],
    source: "Top Crop Manager, planning a system: fans and vents",
  },
  {
    purpose: "natural air, prairies",
    crops: ["canola", "rapeseed", "flax", "sunflower"],
    cfm_bu: [1, 1],
    source: "Top Crop Manager, planning a system: fans and vents",
  },
];

/** What the trade asks for a crop. Tonnes are as filled, at the bulk density of the bin. */
export function needs(crop: string, bulk_density_kg_m3: number): Need[] {
  return FIGURES.filter(({ crops }) => crops === "all" || crops.some((name) => crop.startsWith(name))).map(
    ({ purpose, cfm_bu, per_tonne, source }) => {
      const [low, high] = cfm_bu
        ? [cfm_bu[0] * CFM_BU, cfm_bu[1] * CFM_BU]
        : (per_tonne ?? [0, 0]).map((figure) => (figure * bulk_density_kg_m3) / 3_600_000);
      return { purpose, low: low ?? 0, high: high ?? 0, source };
    },
  );
}

/** The full bin against a need, in words. */
export function against(air: BinAir, need: Need): "below" | "within" | "above" | "no airflow" {
  const full = air.fills.at(-1);
  if (!full || !(full.specific_airflow_1_s > 0)) return "no airflow";
  // Customs are stated to two figures: a hair below the figure is not below it.
  if (full.specific_airflow_1_s < need.low * 0.995) return "below";
  return full.specific_airflow_1_s > need.high * 1.005 ? "above" : "within";
}
