/** What is wrong with a text, as notes in the margin that lead to where it is mended. */

import type { Diagnostic } from "../api/types";
import { todo } from "../forms/todo";
import { local } from "../lib/prose";
import { href } from "../lib/router.svelte";
import type { OpenSite } from "../lib/site.svelte";
import type { MarginNote } from "./model";

/** Missing values as one thing to do, faults one by one. */
export function faultNotes(site: OpenSite, said: readonly Diagnostic[], bin: string | null): MarginNote[] {
  const survey = href({ page: "survey", site: site.id }, { bin });
  const errors = said.filter((one) => one.severity === "error");
  const missing = errors.filter((one) => todo(one) !== null).length;
  const out: MarginNote[] = errors
    .filter((one) => todo(one) === null)
    .map((wrong) => ({
      weight: "fails",
      says: local(`${wrong.found}${wrong.allowed ? `, ${wrong.allowed}` : ""}`),
      href: survey,
      link: "mend it in the survey",
    }));
  if (missing > 0) {
    out.push({
      weight: "attention",
      says: `${missing === 1 ? "one thing is" : `${missing} things are`} still to be said before this can be worked`,
      href: survey,
      link: "say it in the survey",
    });
  }
  return out;
}
