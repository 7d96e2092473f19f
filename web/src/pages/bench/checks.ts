// The set-up checklist, in the order somebody walks round the machine.
export const kChecks = [
  "zero",
  "tooling",
  "support",
  "mandrel",
  "lubricant",
  "blank",
  "swing",
  "guards",
  "stop",
] as const;
export type Check = (typeof kChecks)[number];
