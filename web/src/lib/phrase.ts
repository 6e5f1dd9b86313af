/** Sentences with quantities in them, rendered in the reader's units. */
import type { Filling, Phrase, Quantity } from "../api/types";
import { display, show } from "./quantity";
import type { UnitSystem } from "./settings.svelte";

function isQuantity(filling: Filling): filling is Quantity {
  return typeof filling === "object" && filling !== null;
}

/** Exactly as the program renders it. */
export function render(phrase: Phrase, system: UnitSystem): string {
  return filled(phrase, (quantity) => show(quantity.value, quantity.kind, system));
}

/** As a sentence for the page: numbers in the reader's locale, first letter large, a full stop at its end. */
export function say(phrase: Phrase, system: UnitSystem): string {
  return sentence(filled(phrase, (quantity) => display(quantity.value, quantity.kind, system)));
}

/** First letter large, a full stop at the end unless some mark stands there. */
export function sentence(text: string): string {
  const start = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?:]$/.test(start) ? start : `${start}.`;
}

function filled(phrase: Phrase, quantity: (quantity: Quantity) => string): string {
  let out = phrase.template;
  for (const [name, filling] of phrase.fillings) {
    out = out.replaceAll(`{${name}}`, () => (isQuantity(filling) ? quantity(filling) : String(filling)));
  }
  return out;
}
