/** Words of the title block from what is known of a bin. */
import type { BinSurvey } from "../api/types";
import { rated } from "../forms/choices";
import { fanKind } from "../forms/words";
import { display, localNumber } from "../lib/quantity";
import { settings } from "../lib/settings.svelte";
import type { OpenSite } from "../lib/site.svelte";
import { knownWords } from "../lib/verdicts.svelte";
import type { TitleBlock } from "./model";

/** "2 × 10 hp centrifugal, low speed", and the names of the catalogue behind it. */
export function machines(bin: BinSurvey): { fans: string; names: string } {
  const counts = new Map<string, { says: string; count: number }>();
  for (const { id, kind, motor_power_w } of bin.drawing.fans) {
    const says = `${rated(motor_power_w, settings.units)} ${fanKind(kind)}`;
    counts.set(id, { says, count: (counts.get(id)?.count ?? 0) + 1 });
  }
  return {
    fans: [...counts.values()].map(({ says, count }) => (count > 1 ? `${count} × ${says}` : says)).join("; "),
    names: [...counts.keys()].join(", "),
  };
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

/** `verdict` in place of the last one that is known of this text. */
export function titleBlock(site: OpenSite, bin: BinSurvey, verdict: string | null = null): TitleBlock {
  const { fans, names } = machines(bin);
  const burner = bin.drawing.burner;
  return {
    site: site.site?.name ?? "",
    bin: bin.bin,
    lot: lots(bin),
    outfit: burner ? `${fans}, with a burner` : fans,
    names: burner ? `${names}, ${burner.id}` : names,
    verdict: verdict ?? knownWords(site.verdict(bin.bin)),
    demo: bin.demo,
  };
}
