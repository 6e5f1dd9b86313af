/** All bins of a site together, as the program answers. */
import type { Said, Shapes, Whole } from "../../api/types";

export type Farm = Whole<Omit<Shapes["FarmJson"], "years">> & { years: FarmYear[]; remarks?: Said[] };
/** The seasons of its bins stand on their own pages. */
export type FarmYear = Whole<Omit<Shapes["FarmYearJson"], "bins">> & { bins: FarmBin[] };
export type FarmBin = Whole<Omit<Shapes["FarmBinJson"], "season">>;
