// Whether pasted cells are still the list they were: mending a cell, adding or taking out rows leaves
// what was answered about it standing; another list is asked about anew.

export function sameList(before: string, after: string): boolean {
  if (before.trim() === "" || after.trim() === "") return false;
  const most = Math.min(before.length, after.length);
  let front = 0;
  while (front < most && before[front] === after[front]) ++front;
  let back = 0;
  while (back < most - front && before.at(-1 - back) === after.at(-1 - back)) ++back;
  const gone = before.slice(front, before.length - back);
  const come = after.slice(front, after.length - back);
  // Rows replaced at one go: another list was pasted over it. A heading says units and columns.
  const replaced = come !== "" && gone.trim().includes("\n");
  return !replaced && front >= headingEnd(before);
}

// The end of the heading; 0 where the first line is numbers already.
function headingEnd(text: string): number {
  const first = /^[^\r\n]*/.exec(text)![0];
  return /\p{L}/u.test(first) && !/\d/.test(first) ? first.length : 0;
}
