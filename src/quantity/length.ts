/**
 * A length in whole micrometres. Inches and feet are exact in it (1 in = 25 400 µm, 1 ft = 304 800 µm, 16 CFR 500.19),
 * and a safe integer holds 9 million km. The brand is there for the reader and the compiler; it costs nothing at run time.
 */
export type LengthUm = number & { readonly unit?: 'um' }

export const UM_PER_M = 1_000_000
export const UM_PER_FT = 304_800
export const UM_PER_MM = 1_000
/** Ten-thousandths of a micrometre: in these a millionth of a foot (0.3048 µm) is whole. For sums of many lengths that are no whole µm. */
export const FINE_PER_UM = 10_000

/** Metres as written in a file, to the nearest micrometre. Range: up to a million km. */
export function umFromM(lengthM: number): LengthUm {
  return Math.round(lengthM * UM_PER_M)
}

export function mFromUm(lengthUm: LengthUm): number {
  return lengthUm / UM_PER_M
}

/**
 * A decimal typed by a person in metres or feet, in ten-thousandths of a micrometre (`FINE_PER_UM`): exact to the millionth of its unit,
 * the nearest one where the typed figure is finer. Range: up to 900 km, as a whole number.
 */
export function fineFromTyped(typed: string, unit: 'm' | 'ft'): number {
  return Math.round(Number(typed) * 1e6) * ((unit === 'ft' ? UM_PER_FT : UM_PER_M) / 100)
}

/** A decimal typed by a person in metres or feet, as whole micrometres; a need, so what is finer is rounded up. */
export function needUmFromTyped(typed: string, unit: 'm' | 'ft'): LengthUm {
  const match = /^([+-]?)(\d*)\.?(\d*)(?:[eE]([+-]?\d+))?$/.exec(typed.trim())
  if (!match || (match[2] === '' && match[3] === '')) return Number.NaN
  const [, sign, whole = '', decimals = '', exponent = '0'] = match
  const scale = decimals.length - Number(exponent)
  if (Math.abs(scale) > 40 || whole.length > 40)
    return Math.ceil(Number(typed) * (unit === 'ft' ? UM_PER_FT : UM_PER_M))
  const digits = BigInt(`${whole}${decimals}`) * BigInt(unit === 'ft' ? UM_PER_FT : UM_PER_M)
  const power = 10n ** BigInt(Math.abs(scale))
  const um = scale > 0 ? (digits + power - 1n) / power : digits * power
  return Number(sign === '-' ? -um : um)
}
