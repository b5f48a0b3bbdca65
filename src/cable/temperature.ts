/**
 * Attenuation against temperature: α = α20·(1 + 0.00198·(T − 20)), which is 0.11 % per °F (cable-operator's note on
 * attenuation and temperature; 0.2 % per K in the trade). It is half the coefficient of copper's resistance, as the
 * skin effect asks. Customary for −40 to +80 °C; beyond that the function does not hold.
 */
export const ATTENUATION_PER_K = 0.0011 * 1.8

export const TEMPERATURE_RANGE_C = { from: -40, to: 80 } as const

/** Factor on the attenuation at 20 °C; null outside the range in which the rule is used. */
export function attenuationFactor(tempC: number): number | null {
  if (!(tempC >= TEMPERATURE_RANGE_C.from && tempC <= TEMPERATURE_RANGE_C.to)) return null
  return 1 + ATTENUATION_PER_K * (tempC - 20)
}
