/** What a reader chooses for this browser: units and light. Kept in the browser, never in a site. */

export type UnitSystem = "si" | "us";
export type Theme = "system" | "light" | "dark";

function kept<T extends string>(key: string, allowed: readonly T[], otherwise: T): T {
  try {
    const value = localStorage.getItem(`binwright.${key}`);
    return allowed.find((one) => one === value) ?? otherwise;
  } catch {
    // A browser that keeps nothing still shows everything.
    return otherwise;
  }
}

function keep(key: string, value: string): void {
  try {
    localStorage.setItem(`binwright.${key}`, value);
  } catch {
    // See above.
  }
}

/** Readers in the United States get their units; all others SI. */
function usualUnits(): UnitSystem {
  if (typeof navigator === "undefined") return "us";
  return /-US\b/i.test(navigator.language) ? "us" : "si";
}

class Settings {
  #units = $state<UnitSystem>(kept("units", ["si", "us"], usualUnits()));
  #theme = $state<Theme>(kept("theme", ["system", "light", "dark"], "system"));

  get units(): UnitSystem {
    return this.#units;
  }

  set units(units: UnitSystem) {
    this.#units = units;
    keep("units", units);
  }

  get theme(): Theme {
    return this.#theme;
  }

  set theme(theme: Theme) {
    this.#theme = theme;
    keep("theme", theme);
    this.show();
  }

  /** Puts the choice of light on the page. */
  show(): void {
    if (this.#theme === "system") delete document.documentElement.dataset.theme;
    else document.documentElement.dataset.theme = this.#theme;
  }
}

export const settings = new Settings();
