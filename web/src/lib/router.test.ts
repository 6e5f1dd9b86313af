import { describe, expect, it } from "vitest";
import { href, PAGES, type Route, read } from "./router.svelte";

describe("addresses", () => {
  const routes: Route[] = [
    { page: "sites" },
    { page: "air", site: null },
    { page: "equipment" },
    ...PAGES.map((page) => ({ page, site: "north farm/2 %" })),
  ];

  it("come back as they were written", () => {
    for (const route of routes) {
      const { route: back, query } = read(href(route, { bin: "north bin", year: 2019, hour: null }));
      expect(back).toEqual(route);
      expect(query.get("bin")).toBe("north bin");
      expect(query.get("year")).toBe("2019");
      expect(query.has("hour")).toBe(false);
    }
  });

  it("open the survey of a site when no page is named", () => {
    expect(read("#/site/7").route).toEqual({ page: "survey", site: "7" });
  });

  it("that lead nowhere say so", () => {
    for (const hash of ["#/nowhere", "#/site/7/ledger", "#/site/%E0%A4%A/air", "#/air/7"]) {
      expect(read(hash).route.page).toBe("unknown");
    }
  });
});
