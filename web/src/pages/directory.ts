// Which file draws which place. Each page is a folder with Page.svelte and is fetched when first
// gone to; a job's views get the job's id.
import type { Component } from "svelte";
import type { Route } from "../model/route";

type Page = Component<Record<string, string>>;
const pages = import.meta.glob<{ default: Page }>("./*/Page.svelte");

function folder(route: Route): string {
  return route.at === "job" ? route.view : route.at;
}

export function hasPage(name: string): boolean {
  return `./${name}/Page.svelte` in pages;
}

export async function pageFor(route: Route): Promise<Page> {
  const load = pages[`./${folder(route)}/Page.svelte`] ?? pages["./jobs/Page.svelte"]!;
  return (await load()).default;
}

export function pageProps(route: Route): Record<string, string> {
  switch (route.at) {
    case "job":
      return { id: route.id };
    case "new":
      return { from: route.from };
    case "shop":
      return route.id ? { shelf: route.shelf, id: route.id } : { shelf: route.shelf };
    case "history":
      return { kind: route.kind, id: route.id };
    default:
      return {};
  }
}
