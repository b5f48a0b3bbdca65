/** What a market calls things, counts in and demands. An entry of markets.json. */
export interface Market {
  /** The key in markets.json. */
  market: string
  name: string
  orderUnit: 'm' | 'ft'
  labelTemplate: string
  words: { drum: string; coil: string; jacket: string; lead: string; coax: string }
  lengthRule: 'never_short' | 'batch_mean_2pct' | 'no_unit_overstated'
  lengthRuleSource: string
  dateFormat: string
  decimalMark: '.' | ','
  woodRule: 'none' | 'ispm15'
}
