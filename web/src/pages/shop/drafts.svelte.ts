// What was typed into a form of the shop and is neither kept nor let go: it stays while this page is
// open, wherever one goes meanwhile.
import type { Rec } from "../../model/answers";

export interface Draft {
  document: Record<string, unknown>;
  base: Rec | null; // what it was typed over
}
let all = $state.raw<Record<string, Draft>>({});

export const draftKey = (kind: string, id: string, begin = ""): string => [kind, id, begin].join("/");
export const draftOf = (key: string): Draft | undefined => all[key];

export function putDraft(key: string, draft: Draft | null): void {
  if (draft === null && !(key in all)) return;
  const { [key]: _old, ...rest } = all;
  all = draft === null ? rest : { ...rest, [key]: draft };
}
