/** Addresses by hand: the part after "#" is the page, what follows "?" is what one looks at on it.
 *
 * `#/` sites, `#/site/ID/PAGE?bin=…` the pages of a site, `#/air` the quick question, `#/equipment` fans and burners. What a page shows and a reader may
 * want to send to a friend (bin, year, hour, quantity) stands in the query; `look` changes it without a new page. */

/** The pages of a site, in the order of the work. */
export const PAGES = ["survey", "air", "heat", "season", "risk", "weigh", "field", "papers"] as const;
export type PageName = (typeof PAGES)[number];

export type Route =
  | { page: "sites" }
  | { page: PageName; site: string }
  | { page: "air"; site: null }
  | { page: "equipment" }
  | { page: "unknown"; address: string };

export interface Address {
  route: Route;
  query: URLSearchParams;
}

/** Reads what stands after "#". */
export function read(hash: string): Address {
  const [path = "", query = ""] = hash.replace(/^#/, "").split("?", 2);
  return { route: route(path), query: new URLSearchParams(query) };
}

function route(path: string): Route {
  const parts = path.split("/").filter((part) => part !== "");
  const [first, site, page] = parts;
  if (first === undefined) return { page: "sites" };
  if (first === "air" && parts.length === 1) return { page: "air", site: null };
  if (first === "equipment" && parts.length === 1) return { page: "equipment" };
  if (first === "site" && site !== undefined && parts.length <= 3) {
    const name = PAGES.find((known) => known === (page ?? "survey"));
    const id = decoded(site);
    if (name && id !== null) return { page: name, site: id };
  }
  return { page: "unknown", address: path };
}

function decoded(part: string): string | null {
  try {
    return decodeURIComponent(part);
  } catch {
    return null;
  }
}

/** The address of a page, for links. */
export function href(route: Route, query: Record<string, string | number | null | undefined> = {}): string {
  const entries = Object.entries(query).filter(([, value]) => value !== null && value !== undefined);
  const search = new URLSearchParams(entries.map(([key, value]) => [key, String(value)])).toString();
  return `#${path(route)}${search ? `?${search}` : ""}`;
}

function path(route: Route): string {
  switch (route.page) {
    case "sites":
      return "/";
    case "equipment":
      return "/equipment";
    case "unknown":
      return route.address;
    default:
      return route.site === null ? "/air" : `/site/${encodeURIComponent(route.site)}/${route.page}`;
  }
}

/** The address bar as state. */
class Router {
  #address = $state.raw(read(typeof location === "undefined" ? "" : location.hash));

  constructor() {
    if (typeof window === "undefined") return;
    window.addEventListener("hashchange", () => {
      this.#address = read(location.hash);
    });
  }

  get route(): Route {
    return this.#address.route;
  }

  /** One value of the query, null when it is not there. */
  query(key: string): string | null {
    return this.#address.query.get(key);
  }

  /** Goes to a page; the way back leads here. */
  go(route: Route, query: Record<string, string | number | null | undefined> = {}): void {
    location.hash = href(route, query);
  }

  /** Changes what is looked at on this page: no new entry in the history, unless asked. */
  look(change: Record<string, string | number | null | undefined>, entry = false): void {
    const query = new URLSearchParams(this.#address.query);
    for (const [key, value] of Object.entries(change)) {
      if (value === null || value === undefined) query.delete(key);
      else query.set(key, String(value));
    }
    const next = href(this.#address.route, Object.fromEntries(query));
    if (next === location.hash) return;
    if (entry) history.pushState(null, "", next);
    else history.replaceState(null, "", next);
    this.#address = read(next);
  }
}

export const router = new Router();
