/** The measured scales of the drawing: the same stations and rules as the printed report's, computed in OKLab.
 *
 * A scale falls in OKLab lightness from low to high, on paper by day and at night alike: one value, one colour.
 * Source of OKLab: B. Ottosson, "A perceptual color space for image processing" (2020). */

export type Rgb = readonly [number, number, number];
export type Hues = "straw-to-water" | "sky-to-ember" | "chalk-to-plum";

/** What can be coloured on the section and in maps. */
export type Coloured = "moisture" | "temperature" | "life";

export const COLOURED: Record<Coloured, { hues: Hues; kind: string; name: string }> = {
  moisture: { hues: "straw-to-water", kind: "moisture-wet-basis", name: "moisture" },
  temperature: { hues: "sky-to-ember", kind: "temperature", name: "grain temperature" },
  life: { hues: "chalk-to-plum", kind: "fraction", name: "storage life used" },
};

/** Hue in degrees and chroma, equally spaced from low to high. */
export const STATIONS: Record<Hues, readonly (readonly [number, number])[]> = {
  "straw-to-water": [
    [95, 0.065],
    [120, 0.095],
    [185, 0.085],
    [235, 0.095],
    [262, 0.1],
  ],
  "sky-to-ember": [
    [225, 0.03],
    [90, 0.075],
    [65, 0.125],
    [42, 0.14],
    [25, 0.105],
  ],
  "chalk-to-plum": [
    [80, 0.025],
    [20, 0.075],
    [355, 0.12],
    [330, 0.13],
    [310, 0.11],
  ],
};

const LIGHTNESS = { low: 0.95, high: 0.3 };
const STEPS = 256;

/** A scale of 256 colours, low to high. */
export interface Scale {
  steps: readonly Rgb[];
}

const made = new Map<Hues, Scale>();

/** The scale of a run of hues. */
export function scale(hues: Hues): Scale {
  let found = made.get(hues);
  if (!found) {
    found = { steps: Array.from({ length: STEPS }, (_, i) => colourAt(hues, i / (STEPS - 1))) };
    made.set(hues, found);
  }
  return found;
}

/** The colour of a share from 0 to 1; beyond them the ends, null for no number. */
export function at(of: Scale, share: number): Rgb | null {
  if (Number.isNaN(share)) return null;
  return of.steps[Math.round(Math.min(1, Math.max(0, share)) * (STEPS - 1))] ?? null;
}

/** As CSS takes it. */
export function css(rgb: Rgb): string {
  return `rgb(${rgb.join(" ")})`;
}

/** Where a value stands between two ends; the middle when there is nothing between them. */
export function share(value: number, low: number, high: number): number {
  return high > low ? (value - low) / (high - low) : value * 0 + 0.5;
}

function colourAt(hues: Hues, part: number): Rgb {
  const stations = STATIONS[hues];
  const place = part * (stations.length - 1);
  const left = Math.min(Math.floor(place), stations.length - 2);
  const between = place - left;
  // Straight through the a-b plane, so that hue never swings past a third colour.
  const [a0, b0] = flat(stations[left]);
  const [a1, b1] = flat(stations[left + 1]);
  const lightness = LIGHTNESS.low + (LIGHTNESS.high - LIGHTNESS.low) * part;
  return inGamut(lightness, a0 + (a1 - a0) * between, b0 + (b1 - b0) * between);
}

function flat(station: readonly [number, number] | undefined): [number, number] {
  const [hue, chroma] = station ?? [0, 0];
  const angle = (hue * Math.PI) / 180;
  return [chroma * Math.cos(angle), chroma * Math.sin(angle)];
}

/** That lightness and hue with as much of the chroma as a screen can show. */
function inGamut(lightness: number, a: number, b: number): Rgb {
  const shown = (part: number) => oklabToLinear(lightness, a * part, b * part);
  const fits = (rgb: Rgb) => rgb.every((c) => c >= -1e-6 && c <= 1 + 1e-6);
  let low = 0;
  let high = 1;
  if (fits(shown(1))) low = 1;
  else {
    for (let i = 0; i < 30; i++) {
      const middle = 0.5 * (low + high);
      if (fits(shown(middle))) low = middle;
      else high = middle;
    }
  }
  const [red, green, blue] = shown(low).map((c) => Math.round(fromLinear(Math.min(1, Math.max(0, c))) * 255));
  return [red ?? 0, green ?? 0, blue ?? 0];
}

function oklabToLinear(lightness: number, a: number, b: number): Rgb {
  const long = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const middle = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const short = (lightness - 0.0894841775 * a - 1.291485548 * b) ** 3;
  return [
    4.0767416621 * long - 3.3077115913 * middle + 0.2309699292 * short,
    -1.2684380046 * long + 2.6097574011 * middle - 0.3413193965 * short,
    -0.0041960863 * long - 0.7034186147 * middle + 1.707614701 * short,
  ];
}

export function toLinear(c: number): number {
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}

export function fromLinear(c: number): number {
  return c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055;
}

/** The colour a token has on the page now, for canvases. */
export function token(name: string, on: Element = document.documentElement): string {
  const probe = document.createElement("span");
  probe.hidden = true;
  probe.style.color = `var(--${name})`;
  on.append(probe);
  const colour = getComputedStyle(probe).color;
  probe.remove();
  return colour;
}
