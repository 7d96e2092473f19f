// Exact fractions of whole numbers, for lengths and angles as typed.
export interface Ratio {
  num: bigint;
  den: bigint; // > 0
}

export const ratio = (num: bigint | number, den: bigint | number = 1): Ratio => ({
  num: BigInt(num),
  den: BigInt(den),
});
export const plus = (a: Ratio, b: Ratio): Ratio =>
  ratio(a.num * b.den + b.num * a.den, a.den * b.den);
export const times = (a: Ratio, num: number, den = 1): Ratio =>
  ratio(a.num * BigInt(num), a.den * BigInt(den));

// The nearest double. Decimal expansion of the exact value to 40 places, read by the language's
// own correctly rounded reader; what lies beyond cannot move a shop's length.
export function nearest(a: Ratio): number {
  const whole = a.num / a.den;
  let rest = a.num % a.den;
  let digits = "";
  for (let i = 0; i < 40 && rest !== 0n; ++i) {
    rest *= 10n;
    digits += (rest / a.den).toString();
    rest %= a.den;
  }
  return Number(`${whole}.${digits || "0"}`);
}
