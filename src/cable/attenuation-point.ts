/** One tested point of attenuation and, where tested, of power, at 20 °C and 40 °C ambient. A row of attenuation.csv; null where the cell is empty. */
export interface AttenuationPoint {
  /** (cable, f_mhz) unique. */
  cable: string
  /** MHz. */
  fMhz: number
  /** Attenuation at 20 C, dB/100 m. */
  attDbPer100m: number
  /** Mean power at 40 C ambient, still air, W; may be empty below 30 MHz. */
  powerMaxW: number | null
}
