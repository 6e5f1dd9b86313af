/** The heat of a bin with the fuel, power and sound of its site, as the program answers. */
import type { Narrow, Quantity, Said, Shapes, Whole } from "../../api/types";

export type Element = Narrow<Whole<Shapes["ElementJson"]>, { need: Quantity; have: Quantity }>;
export type Train = Narrow<Whole<Shapes["TrainJson"]>, { elements: Element[] }>;
export type BinHeat = Whole<Shapes["BinHeatJson"]>;
export type Duty = Whole<Shapes["DutyJson"]>;
export type Firing = Whole<Shapes["FiringJson"]>;
export type FiringRow = Whole<Shapes["FiringRowJson"]>;
export type BinPower = Whole<Shapes["BinPowerJson"]>;
export type SitePower = Whole<Shapes["SitePowerJson"]>;
export type Sound = Whole<Shapes["YardSoundJson"]>;
export type Dwelling = Whole<Shapes["DwellingJson"]>;

export type SiteHeat = Narrow<Whole<Shapes["HeatSiteJson"]>, { bins: BinHeat[]; train: Train | null }> & {
  remarks?: Said[];
};
