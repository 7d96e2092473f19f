// Where the page is, as the part of the address behind the '#': nothing of it reaches the server.
export const jobViews = ["part", "plan", "springback", "film", "sheet", "bench", "run", "inspect"] as const;
export type JobView = (typeof jobViews)[number];
export const shopShelves = ["die_set", "bender", "tube", "material", "trial", "house"] as const;
export type ShopShelf = (typeof shopShelves)[number];

export type Route =
  | { at: "jobs" }
  | { at: "new"; from: string }
  | { at: "job"; view: JobView; id: string }
  | { at: "shop"; shelf: ShopShelf; id?: string }
  | { at: "people" }
  | { at: "history"; kind: string; id: string };

const safe = /^[a-z0-9_-]{1,64}$/;

export function readRoute(hash: string): Route {
  const [first = "", second = "", third = ""] = hash.replace(/^#?\/?/, "").split("/");
  const jobView = jobViews.find((view) => view === first);
  if (jobView && safe.test(second)) return { at: "job", view: jobView, id: second };
  if (first === "new") return { at: "new", from: safe.test(second) ? second : "cells" };
  if (first === "shop") {
    const shelf = shopShelves.find((name) => name === (second === "metal" ? "material" : second)) ?? "die_set";
    return safe.test(third) ? { at: "shop", shelf, id: third } : { at: "shop", shelf };
  }
  if (first === "people") return { at: "people" };
  if (first === "history" && safe.test(second) && safe.test(third)) {
    return { at: "history", kind: second, id: third };
  }
  return { at: "jobs" };
}

export function routeHash(route: Route): string {
  switch (route.at) {
    case "jobs":
      return "#/jobs";
    case "new":
      return `#/new/${route.from}`;
    case "job":
      return `#/${route.view}/${route.id}`;
    case "shop":
      return `#/shop/${route.shelf}${route.id ? `/${route.id}` : ""}`;
    case "people":
      return "#/people";
    case "history":
      return `#/history/${route.kind}/${route.id}`;
  }
}
