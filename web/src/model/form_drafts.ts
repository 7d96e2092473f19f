// What was typed into the shop's forms and is not kept yet, in this tab's own store: it outlives a
// reload of the page, and ends with the tab.
import type { Rec } from "./answers";
import type { Keeper } from "./queue";

export interface Draft {
  document: Record<string, unknown>;
  base: Rec | null; // what it was typed over
}
export type Drafts = Record<string, Draft>;

const kPlace = "bight.drafts";

export const draftKey = (kind: string, id: string, begin = ""): string => [kind, id, begin].join("/");

// The name that a new entry of the kind was begun with, where one is being typed; "" for none.
export function begunWith(drafts: Drafts, kind: string): string {
  if (draftKey(kind, "new") in drafts) return "";
  const start = draftKey(kind, "new");
  return Object.keys(drafts).find((key) => key.startsWith(start))?.slice(start.length) ?? "";
}

const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

// What cannot be read is left out: a form then opens as its record stands.
export function readDrafts(keeper: Keeper): Drafts {
  try {
    const found: unknown = JSON.parse(keeper.getItem(kPlace) ?? "{}");
    if (!isObject(found)) return {};
    return Object.fromEntries(
      Object.entries(found).filter(
        ([, one]) => isObject(one) && isObject(one["document"]) && (one["base"] === null || isObject(one["base"])),
      ),
    ) as unknown as Drafts;
  } catch {
    return {};
  }
}

export function writeDrafts(keeper: Keeper, drafts: Drafts): void {
  try {
    if (Object.keys(drafts).length === 0) keeper.removeItem(kPlace);
    else keeper.setItem(kPlace, JSON.stringify(drafts));
  } catch {
    // A full or closed store: then they last as long as the page.
  }
}
