// A place in a document in words: line.corners[2][1] is "corner 3, Y".
import { t, tOr } from "../model/words";

const axes = ["X", "Y", "Z"];

export function placeWords(path: string): string {
  const corner = /^line\.corners\[(\d+)\](?:\[(\d)\])?$/.exec(path);
  if (corner) {
    const n = Number(corner[1]) + 1;
    return corner[2] === undefined
      ? t("place.corner", { n })
      : `${t("place.corner", { n })}, ${axes[Number(corner[2])] ?? ""}`;
  }
  const bend = /^line\.bends\[(\d+)\](?:\.(\w+))?$/.exec(path);
  if (bend) {
    const n = Number(bend[1]) + 1;
    const what = bend[2] ? `, ${tOr(`column.${bend[2]}`, bend[2])}` : "";
    return `${t("place.bend", { n })}${what}`;
  }
  const radius = /^line\.radii\[(\d+)\]$/.exec(path);
  if (radius) return `${t("place.bend", { n: Number(radius[1]) + 1 })}, ${t("column.radius")}`;
  return tOr(`field.${path}`, path.replace(/^line\./, "").replaceAll("_", " "));
}
