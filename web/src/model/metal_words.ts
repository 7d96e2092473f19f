// Finding a metal by what people call it: its name, grade, number, other names, or the everyday
// words for its kind.
import type { Metals } from "./answers";
import { tOr } from "./words";

type Named = Pick<Metals, "name" | "grade" | "family" | "number" | "aliases" | "own" | "usual">;

const fold = (text: string): string => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

// What a shop calls metals of this family; none where nobody does otherwise.
const everyday = (family: string): string => tOr(`metal.words.${family.replaceAll(/[^a-z]/g, "_")}`, "");

// Metals that have every word typed somewhere, the shop's own first, then usual ones.
export function metalsLike<One extends Named>(metals: readonly One[], text: string): One[] {
  const words = fold(text).split(/[\s,;]+/).filter(Boolean);
  return metals
    .filter((metal) => {
      const all = fold([metal.name, metal.grade, metal.family, metal.number, ...metal.aliases, everyday(metal.family)].join(" "));
      return words.every((word) => all.includes(word));
    })
    .sort((a, b) => Number(b.own) - Number(a.own) || Number(b.usual) - Number(a.usual));
}
