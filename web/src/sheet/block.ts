/** Words of the title block from what is known of a bin. */
import type { BinSurvey } from "../api/types";
import { display, localNumber } from "../lib/quantity";
import { settings } from "../lib/settings.svelte";
import type { OpenSite } from "../lib/site.svelte";
import type { TitleBlock } from "./model";

/** "2 × name", or each by its name. */
export function counted(names: string[]): string {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return [...counts].map(([name, count]) => (count > 1 ? `${count} × ${name}` : name)).join(", ");
}

/** Fans and burner. */
export function outfit(bin: BinSurvey): string {
  const burner = bin.drawing.burner;
  return counted(bin.fans) + (burner ? `, ${burner.id}` : "");
}

/** "corn, 15,000 bu at 20.0 % w.b." */
export function lots(bin: BinSurvey): string {
  const one = bin.lots.map((lot) => {
    const moisture = display(lot.moisture_wb, "moisture-wet-basis", settings.units);
    return `${lot.crop}, ${amount(lot.wet_mass_kg, lot.legal_bushels_wet)} at ${moisture}`;
  });
  return one.length > 2 ? `${one.length} lots, the first ${one[0]}` : one.join("; ");
}

/** Legal bushels where the crop has them and the reader wants them, else the mass as filled. */
export function amount(wet_mass_kg: number, legal_bushels: number | null): string {
  if (settings.units === "us" && legal_bushels !== null) {
    return `${localNumber(legal_bushels, 0)}\u00a0bu`;
  }
  return display(wet_mass_kg, "mass", settings.units);
}

export function titleBlock(site: OpenSite, bin: BinSurvey, verdict: string | null = null): TitleBlock {
  return {
    site: site.site?.name ?? "",
    bin: bin.bin,
    lot: lots(bin),
    outfit: outfit(bin),
    verdict,
    demo: bin.demo,
  };
}
