/** The one tooltip of all plots: shows what a probe reads, at the hand or at the keys' place. */
import type uPlot from "uplot";
import type { Row } from "./model";
import type { Key, Places, Probe, Reading } from "./probe";

export interface Tooltip {
  plugin: uPlot.Plugin;
  /** Moves by a key; gives what is read there. */
  step(key: Key): Reading | null;
  /** Shows a reading that came from elsewhere, or none. */
  show(reading: Reading | null): void;
  readonly reading: Reading | null;
}

/** `onread` hears every change of what is read. */
export function tooltip(
  probe: Probe,
  places: (u: uPlot) => Places,
  onread: (reading: Reading | null) => void,
): Tooltip {
  const card = document.createElement("div");
  card.className = "plot-tip";
  card.hidden = true;
  // Ears hear the reading elsewhere.
  card.setAttribute("aria-hidden", "true");
  const ring = document.createElement("div");
  ring.className = "plot-ring";
  ring.hidden = true;
  let plot: uPlot | null = null;
  let reading: Reading | null = null;
  let byKeys = false;

  function show(next: Reading | null): void {
    const before = reading;
    reading = next;
    const y = next?.y ?? null;
    card.hidden = next === null;
    ring.hidden = next === null || y === null;
    if (plot && next) {
      const where = places(plot);
      const left = where.left(next.x);
      const top = y === null ? 0.5 * plot.over.clientHeight : where.top(y);
      card.replaceChildren(...lines(next));
      place(card, left, top, plot.over);
      ring.style.transform = `translate(${left}px, ${top}px)`;
    }
    if (before !== next) onread(next);
  }

  return {
    plugin: {
      hooks: {
        init: (u) => {
          plot = u;
          u.over.append(ring, card);
        },
        setCursor: (u) => {
          const { left = -1, top = -1 } = u.cursor;
          if (left < 0) {
            // The hand left; what the keys read stays.
            if (!byKeys) show(null);
            return;
          }
          byKeys = false;
          show(probe.at(left, top, places(u)));
        },
        setSize: () => show(reading),
      },
    },
    step(key) {
      byKeys = true;
      show(probe.step(reading, key));
      return reading;
    },
    show(next) {
      byKeys = next !== null;
      show(next);
    },
    get reading() {
      return reading;
    },
  };
}

function lines(reading: Reading): HTMLElement[] {
  const head = document.createElement("strong");
  head.textContent = reading.head;
  return [head, ...reading.rows.map(line)];
}

function line(row: Row): HTMLElement {
  const out = document.createElement("span");
  if (row.look || row.mark) {
    const key = document.createElement("i");
    key.style.setProperty("--key", `var(--${row.look?.ink ?? "ink"})`);
    key.className = row.look?.dash?.length ? "dashed" : "";
    out.append(key);
  }
  const value = document.createElement("b");
  value.textContent = row.value;
  out.append(row.label === "" ? "" : `${row.label} `, value);
  return out;
}

/** Beside the place, on the side where there is room. */
function place(card: HTMLElement, left: number, top: number, box: HTMLElement): void {
  const gap = 12;
  const width = card.offsetWidth;
  const height = card.offsetHeight;
  const right = left + gap + width <= box.clientWidth;
  const x = right ? left + gap : Math.max(0, left - gap - width);
  const y = Math.max(0, Math.min(top - 0.5 * height, box.clientHeight - height));
  card.style.transform = `translate(${Math.round(x)}px, ${Math.round(y)}px)`;
}
