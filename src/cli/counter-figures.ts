import type { CounterReport, KnownCounter } from '../measure/counter-report.ts'
import { mFromUm } from '../quantity/length.ts'
import type { CounterSurroundings, MarketRule } from './counter-surroundings.ts'

/** Figures to the millionth: what lies beyond is noise of the arithmetic. */
export function toMicro(_key: string, value: unknown): unknown {
  return typeof value === 'number' ? Math.round(value * 1e6) / 1e6 : value
}

/** The figures of one counter for machines; a figure that is not known is null. */
export function counterFigures(
  report: CounterReport,
  { guardInForcePct, markets }: CounterSurroundings,
): Record<string, unknown> {
  const { known, correction, seal, lookBack } = report
  return {
    line: report.line,
    checks: report.checks,
    setAside: report.setAside.map(({ check, why }) => ({ date: check.date, why })),
    errorPct: known ? known.trend.today.errorRatio * 100 : null,
    standardUncertaintyPct: known ? known.trend.today.standardRatio * 100 : null,
    trendPctPerDay: pct(known?.trend.slopePerDay),
    trendStandardPctPerDay: pct(known?.trend.slopeStandardPerDay),
    unknown: report.unknown,
    signals: known?.signals ?? [],
    correctionInForcePct: pct(correction?.errorRatio),
    guardInForcePct,
    guardPct: known ? guardFigures(known) : null,
    guardByMarketPct: known ? markets.map((m) => marketGuard(known, m)) : null,
    ...(known ? knownFigures(known) : {}),
    seal,
    lastGoodCheck: lookBack.lastGood,
    suspectBecause: lookBack.reason,
    cutsRecorded: report.cutsRecorded,
    suspect: lookBack.suspect.map((s) => ({
      serial: s.id,
      cutDate: s.cutAt,
      shortM: mFromUm(s.shortUm),
      mayBeShortM: s.mayBeShortUm === null ? null : mFromUm(s.mayBeShortUm),
    })),
  }
}

/** By the works' names of the markets' rules: cut to order is never short, whatever the rule; the mean of a batch counts in prepacked lots only. */
function guardFigures({ guardRatio: g }: KnownCounter): Record<string, number> {
  return {
    never_short: g.none_short * 100,
    no_unit_overstated: g.none_short * 100,
    batch_mean_2pct: g.none_short * 100,
    batch_mean_2pct_prepacked: g.batch_mean_prepacked * 100,
    statutory_ca219: g.statutory_ca219 * 100,
    statutory_mid009_I: g.statutory_mid009_I * 100,
    statutory_mid009_II: g.statutory_mid009_II * 100,
    statutory_mid009_III: g.statutory_mid009_III * 100,
  }
}

function marketGuard({ guardRatio: g }: KnownCounter, market: MarketRule): Record<string, unknown> {
  const prepacked = market.lengthRule === 'batch_mean_2pct' ? g.batch_mean_prepacked * 100 : null
  return {
    market: market.market,
    rule: market.lengthRule,
    cutToOrderPct: g.none_short * 100,
    prepackedPct: prepacked,
  }
}

const dateOf = (day: number): string => new Date(day * 86_400_000).toISOString().slice(0, 10)

const pct = (ratio: number | null | undefined): number | null =>
  ratio === null || ratio === undefined ? null : ratio * 100

function knownFigures(known: KnownCounter): Record<string, unknown> {
  const { trend, budget, overLength, offsets } = known
  return {
    band95Pct: trend.factor95 * trend.today.standardRatio * 100,
    noisePct: trend.noiseRatio * 100,
    slipPct: trend.slipRatio * 100,
    pieceM: budget.pieceM,
    worstCable: known.worstCable,
    budget: budget.terms.map((t) => ({
      name: t.name,
      standardPct: t.standard * 100,
      freedom: Number.isFinite(t.freedom) ? t.freedom : null,
      reach: t.reach,
      source: t.source,
    })),
    pieceStandardPct: budget.piece.standard * 100,
    effectiveFreedom: Number.isFinite(budget.piece.freedom) ? budget.piece.freedom : null,
    guardByLengthPct: known.guardByLength.map((g) => ({
      pieceM: g.pieceM,
      noneShortPct: g.noneShortRatio * 100,
    })),
    guardByCablePct: known.guardByCable.map((g) => ({
      cable: g.cable,
      noneShortPct: g.noneShortRatio * 100,
    })),
    correctionLagPct: pct(known.lagRatio),
    shortProbabilityInForce: known.shortProbabilityInForce,
    overLength,
    path: known.inHindsight.map((now, i) => ({
      date: dateOf(now.day),
      errorPct: now.errorRatio * 100,
      standardPct: now.standardRatio * 100,
      errorAsKnownThenPct: known.onTheDay[i]!.errorRatio * 100,
      standardAsKnownThenPct: known.onTheDay[i]!.standardRatio * 100,
    })),
    charts: known.charts,
    startOffset: known.startOffset,
    law: known.law.map((v) => ({
      rule: v.rule,
      testM: v.testM,
      shortLimitPct: v.shortLimitRatio * 100,
      overLimitPct: v.overLimitRatio * 100,
      withinProbability: v.withinProbability,
    })),
    betweenCablesPct: offsets.betweenRatio * 100,
    byCable: offsets.cables.map((c) => ({
      cable: c.cable,
      checks: c.checks,
      offPct: c.meanRatio * 100,
      offStandardErrorPct: c.standardErrorRatio * 100,
      offsetUsedPct: c.offsetRatio * 100,
    })),
  }
}
