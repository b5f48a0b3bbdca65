import type { Market } from '../hall/market.ts'

export type MarketRule = Pick<Market, 'market' | 'lengthRule'>

/** What of the works stands beside the figures of a counter. */
export interface CounterSurroundings {
  claimedPct: number
  guardInForcePct: number
  markets: MarketRule[]
}
