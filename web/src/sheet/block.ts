/** Words of the title block from what is known of a bin. */
import type { BinSurvey, FanPlace } from "../api/types";
import { display } from "../lib/quantity";
import { settings } from "../lib/settings.svelte";
import type { OpenSite } from "../lib/site.svelte";
import type { TitleBlock } from "./model";

/** Name of a fan, however it is given. */
export function fanName(fan: string | FanPlace): string {
  return typeof fan === "string" ? fan : fan.id;
}

/** "2 × demo-centrifugal-10hp", or each by its name. */
export function outfit(bin: BinSurvey): string {
  const counts = new Map<string, number>();
  for (const fan of bin.fans) counts.set(fanName(fan), (counts.get(fanName(fan)) ?? 0) + 1);
  const fans = [...counts].map(([name, count]) => (count > 1 ? `${count} × ${name}` : name));
  if (bin.burner) fans.push(bin.burner.id);
  return fans.join(", ");
}

/** "corn, 15,000 bu at 20.0 % w.b." */
export function lots(bin: BinSurvey): string {
  const one = bin.lots.map((lot) => {
    const amount =
      settings.units === "us"
        ? display(lot.volume_m3, "grain-volume", "us")
        : display(lot.wet_mass_kg, "mass", "si");
    return `${lot.crop}, ${amount} at ${display(lot.moisture_wb, "moisture-wet-basis", settings.units)}`;
  });
  return one.length > 2 ? `${one.length} lots, first ${one[0]}` : one.join("; ");
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
