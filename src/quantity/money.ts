/** Money inside a computation: whole micro-euro, so that a sum is exact and is rounded once, at the end. */
export type MicroEur = number & { readonly unit?: 'microEur' }

export const MICRO_PER_EUR = 1_000_000

/** Euro as written in a file, to the nearest micro-euro. */
export function microFromEur(eur: number): MicroEur {
  return Math.round(eur * MICRO_PER_EUR)
}

/** Whole micro-euro as euro rounded to cents: the one rounding of a sum. */
export function eurFromMicro(micro: MicroEur): number {
  return Math.round(micro / 10_000) / 100
}
