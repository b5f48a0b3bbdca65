/** What things cost this works. costs.json; everything in euro. */
export interface Costs {
  currency: string
  copperNowEurKg: number
  copperInListEurKg: number
  /** By cable. */
  listPriceEurM: Record<string, number>
  /** By cable. */
  materialCostEurM: Record<string, number>
  scrapReturnRatioOfCopper: number
  carryingRatioPerYear: number
  spaceEurPerPositionMonth: number
  complaintFixedEur: number
  latePenaltyEurPerDayLine: number
  drumChangeEur: number
  labelEur: number
  cartonEur: Record<string, number>
  palletEur: Record<string, number>
  filmEurKg: number
  electricityEurKwh: number
  strapEurM: number
}
