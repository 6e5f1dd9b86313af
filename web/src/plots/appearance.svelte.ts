/** Colours of the page for canvases, which cannot see them by themselves: read anew when the light changes and for print. */
import { flushSync } from "svelte";
import type { Ink } from "./model";

export type Palette = Record<Ink | "paper" | "wash", string> & { face: string };

const INKS = ["ink", "soft", "blue", "rust", "good", "held", "bad", "grid", "paper", "wash"] as const;

class Appearance {
  /** Goes up whenever colours may have changed. */
  stamp = $state(0);
  /** Whether the page is being laid out for paper. */
  printing = $state(false);

  constructor() {
    if (typeof window === "undefined") return;
    const changed = () => {
      this.stamp += 1;
    };
    window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", changed);
    // Paper does not wait: what follows from this must be drawn before the browser lays the page out. Sizes come first, before
    // it counts the pages; the colours of paper are there only once the page is laid out for it.
    const print = (printing: boolean) => {
      this.printing = printing;
      changed();
      flushSync();
    };
    window.addEventListener("beforeprint", () => print(true));
    window.addEventListener("afterprint", () => print(false));
    window.matchMedia("print").addEventListener("change", (event) => print(event.matches));
    new MutationObserver(changed).observe(document.documentElement, {
      attributes: true,
      attributeFilter: ["data-theme"],
    });
  }
}

export const appearance = new Appearance();

/** The colours as they are at an element now. A custom property tells only its text, a colour set from it what it is. */
export function palette(host: HTMLElement): Palette {
  const probe = document.createElement("span");
  probe.hidden = true;
  host.append(probe);
  const style = getComputedStyle(probe);
  const inks = INKS.map((ink) => {
    probe.style.color = `var(--${ink})`;
    return [ink, style.color];
  });
  const face = getComputedStyle(host).fontFamily;
  probe.remove();
  return { ...(Object.fromEntries(inks) as Record<(typeof INKS)[number], string>), face };
}
