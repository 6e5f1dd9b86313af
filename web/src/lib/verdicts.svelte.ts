/** The last verdict of each bin, kept in the browser with what it was reached on: the text, the records and catalogues of the
 * library, and the model. It holds for exactly that; of anything else it is an earlier one. */

export interface Verdict {
  good: number;
  of: number;
  reached: boolean;
}

interface Kept extends Verdict {
  /** SHA-256 of the text. */
  text: string;
  /** What else it rests on. */
  ground: string;
}

/** Whether a verdict is of this very text, of an earlier one, or not there. */
export type Known = { of: "this" | "earlier"; verdict: Verdict } | null;

function place(site: string, bin: string): string {
  return `binwright.verdict.${site}.${bin}`;
}

function read(key: string): Kept | null {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(key) ?? "null");
    if (typeof kept !== "object" || kept === null) return null;
    const { good, of, reached, text, ground } = kept as Partial<Kept>;
    const whole = typeof good === "number" && typeof of === "number" && typeof reached === "boolean";
    return whole && typeof text === "string" && typeof ground === "string"
      ? { good, of, reached, text, ground }
      : null;
  } catch {
    // A browser that keeps nothing, or keeps something else, knows no verdict.
    return null;
  }
}

class Verdicts {
  /** Counts what was kept, so that what shows a verdict is drawn again. */
  #changes = $state(0);

  keep(site: string, bin: string, text: string, ground: string, verdict: Verdict): void {
    const { good, of, reached } = verdict;
    try {
      localStorage.setItem(
        place(site, bin),
        JSON.stringify({ good, of, reached, text, ground } satisfies Kept),
      );
    } catch {
      // As above.
    }
    this.#changes += 1;
  }

  of(site: string, bin: string, text: string | null, ground: string | null): Known {
    void this.#changes;
    const kept = read(place(site, bin));
    if (!kept) return null;
    return { of: kept.text === text && kept.ground === ground ? "this" : "earlier", verdict: kept };
  }
}

export const verdicts = new Verdicts();

export function verdictWords({ good, of, reached }: Verdict): string {
  return `${good} of ${of} years good, goal ${reached ? "reached" : "missed"}`;
}

/** What the title block says of a bin. */
export function knownWords(known: Known): string {
  if (known === null) return "not judged yet";
  if (known.of === "this") return verdictWords(known.verdict);
  return `not judged as it stands; an earlier text: ${verdictWords(known.verdict)}`;
}
