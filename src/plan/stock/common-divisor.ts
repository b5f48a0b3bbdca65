/** Greatest common divisor of two whole numbers that are not negative; of 0 and b it is b. */
export function commonDivisor(a: number, b: number): number {
  return b === 0 ? a : commonDivisor(b, a % b)
}
