// What was typed into a form of the shop and is neither kept nor let go: it stays while this tab is
// open, wherever one goes meanwhile and when the page is loaded anew.
import { begunWith, readDrafts, writeDrafts, type Draft, type Drafts } from "../../model/form_drafts";

let all = $state.raw<Drafts>(readDrafts(sessionStorage));

export const draftOf = (key: string): Draft | undefined => all[key];
export const begunName = (kind: string): string => begunWith(all, kind);

export function putDraft(key: string, draft: Draft | null): void {
  if (draft === null && !(key in all)) return;
  const { [key]: _old, ...rest } = all;
  all = draft === null ? rest : { ...rest, [key]: draft };
  writeDrafts(sessionStorage, all);
}
