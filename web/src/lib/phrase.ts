/** Sentences with quantities in them, rendered in the reader's units. */
import type { Filling, Phrase } from "../api/types";
import { prose } from "./prose";
import { displayInWords, localNumber, showInWords } from "./quantity";
import type { UnitSystem } from "./settings.svelte";

/** Exactly as the program renders it. */
export function render(phrase: Phrase, system: UnitSystem): string {
  return filled(phrase, phrase.template, (filling) => {
    if (typeof filling !== "object") return String(filling);
    return "us" in filling ? filling[system] : showInWords(filling.value, filling.kind, system);
  });
}

/** As a sentence for the page: numbers and dates in the reader's style, first letter large, a full stop at its end. */
export function say(phrase: Phrase, system: UnitSystem): string {
  const text = filled(phrase, prose(phrase.template), (filling, name) => {
    if (typeof filling === "string") return prose(filling);
    // A year is a name and not a number.
    if (typeof filling === "number") return /year$/.test(name) ? String(filling) : localNumber(filling, 0);
    return "us" in filling ? prose(filling[system]) : displayInWords(filling.value, filling.kind, system);
  });
  return sentence(text);
}

/** First letter large, a full stop at the end unless some mark stands there. */
export function sentence(text: string): string {
  const start = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?:]$/.test(start) ? start : `${start}.`;
}

function filled(phrase: Phrase, template: string, words: (filling: Filling, name: string) => string): string {
  let out = template;
  for (const [name, filling] of phrase.fillings) {
    out = out.replaceAll(`{${name}}`, () => words(filling, name));
  }
  return out;
}
