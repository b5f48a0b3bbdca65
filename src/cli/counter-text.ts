import type { CounterReport, KnownCounter } from '../measure/counter-report.ts'
import { mFromUm } from '../quantity/length.ts'
import { figureText } from '../quantity/length-text.ts'
import type { CounterSurroundings, MarketRule } from './counter-surroundings.ts'

const percent = (ratio: number, decimals = 3) => `${figureText(ratio * 100, decimals)} %`
const eur = (value: number) => `${value.toFixed(0)} EUR`

/** One counter in words: its error first, then what follows from it. */
export function counterText(report: CounterReport, around: CounterSurroundings): string[] {
  const { line, known, setAside, lookBack, seal } = report
  const lines = known
    ? [
        errorText(line, known),
        correctionText(report, known),
        ...offsetLines(known),
        ...guardLines(known, around),
      ]
    : [`${line}: not known. ${report.unknown ?? ''}`]
  if (known) lines.push(...riskLines(known, around), ...signalLines(known), ...lawLines(known))
  lines.push(...setAside.map(({ check, why }) => `  set aside: check of ${check.date}: ${why}`))
  lines.push(...suspectLines(report, around.claimedPct), `  ${seal.correctBy}`)
  if (lookBack.lastGood && !lookBack.reason) lines.push(`  Last good check: ${lookBack.lastGood}.`)
  return lines
}

function errorText(line: string, { trend }: KnownCounter): string {
  const { errorRatio, standardRatio } = trend.today
  const side =
    errorRatio >= 0 ? 'long: uncorrected, customers are short' : 'short: uncorrected, length is given away'
  const drift =
    trend.slopePerDay === null || trend.slopeStandardPerDay === null
      ? 'drift not known, all checks lie on one day'
      : `drift ${trend.slopePerDay >= 0 ? '+' : '−'}${percent(Math.abs(trend.slopePerDay), 4)} a day (± ${percent(trend.factor95 * trend.slopeStandardPerDay, 4)})`
  return `${line}: reads ${percent(Math.abs(errorRatio))} ± ${percent(trend.factor95 * standardRatio)} (95 %) ${side}; ${drift}; ${trend.checks} checks.`
}

function correctionText({ correction }: CounterReport, { lagRatio }: KnownCounter): string {
  if (!correction) return '  No correction is in force.'
  const mean = `${percent(correction.errorRatio)} (mean of the last ${correction.checks} checks)`
  return `  Correction in force on run sheets: ${mean}${lagText(lagRatio)}.`
}

/** A mean of past checks lags behind a counter that drifts. */
function lagText(lagRatio: number | null): string {
  if (lagRatio === null || Math.abs(lagRatio) < 0.00005) return ''
  return lagRatio > 0
    ? `: ${percent(lagRatio)} behind, and so much are corrected pieces still short`
    : `: ${percent(-lagRatio)} too much, given away`
}

function offsetLines({ startOffset }: KnownCounter): string[] {
  if (!startOffset?.stands) return []
  const mm = (m: number) => `${figureText(m * 1000, 1)} mm`
  return [
    `  The counter shows ${mm(startOffset.offsetM)} (± ${mm(startOffset.standardM)}) too much whatever the length: look at its start and at the way to the cutter.`,
  ]
}

function guardLines(
  { guardRatio, budget, worstCable }: KnownCounter,
  { markets }: CounterSurroundings,
): string[] {
  const batch = markets.filter((m) => m.lengthRule === 'batch_mean_2pct')
  const others = markets.filter((m) => m.lengthRule !== 'batch_mean_2pct')
  const names = (list: MarketRule[]) => list.map((m) => m.market).join(', ')
  const lines = [
    `  Guard on corrected lengths, ${figureText(budget.pieceM, 2)} m of ${worstCable} (the cable that needs most): ${percent(guardRatio.none_short)} that none is short`,
  ]
  if (others.length > 0) lines.push(`    ${names(others)}: ${percent(guardRatio.none_short)}`)
  if (batch.length > 0)
    lines.push(
      `    ${names(batch)}: cut to order ${percent(guardRatio.none_short)}, prepacked lots with their sample test ${percent(guardRatio.batch_mean_prepacked)} (batch mean)`,
    )
  return lines
}

function riskLines(known: KnownCounter, { guardInForcePct }: CounterSurroundings): string[] {
  const { overLength, shortProbabilityInForce: risk } = known
  const share = risk < 0.0005 ? 'less than 0.1 %' : percent(risk, 1)
  return [
    `  Guard in force ${figureText(guardInForcePct, 3)} %: of pieces so cut ${share} may be short of what is declared.`,
    `  Over-length at the guard for none short: ${eur(overLength.eurPerYear)} a year on ${figureText(overLength.metresPerYear, 0)} m; half the uncertainty would save ${eur(overLength.savedByHalvingEurPerYear)}.`,
  ]
}

function signalLines({ signals }: KnownCounter): string[] {
  if (signals.length === 0) return ['  No signal on any chart.']
  return [
    '  Signals:',
    ...signals.map((s) => {
      const began = s.began ? `; it began about ${s.began}` : ''
      return `    ${s.chart}, since ${s.since}: ${s.text}${began}`
    }),
  ]
}

function lawLines({ law }: KnownCounter): string[] {
  const doubtful = law.filter((v) => v.withinProbability < 0.975)
  if (doubtful.length === 0) return []
  const each = doubtful.map((v) => {
    const memory = v.rule === 'ca219' ? '' : ', class limit from memory: confirm it'
    return `${v.rule} ${percent(v.withinProbability, 0)} (it may show ${percent(v.shortLimitRatio)} too much${memory})`
  })
  return [
    `  Uncorrected, the counter itself lies within the law for instruments only with a probability of: ${each.join('; ')}.`,
  ]
}

function suspectLines({ lookBack, cutsRecorded }: CounterReport, claimedPct: number): string[] {
  const { reason, suspect } = lookBack
  if (!reason) return []
  const head = `  Suspect: ${reason} (good = day’s mean within the claimed ${figureText(claimedPct, 3)} %).`
  if (!cutsRecorded) return [`${head} Cuts are not recorded (more/cuts.csv), so the pieces cannot be named.`]
  if (suspect.length === 0) return [`${head} No recorded piece was cut since.`]
  const m = (um: number | null) => (um === null ? 'not known how far' : `${figureText(mFromUm(um), 3)} m`)
  return [
    `${head} ${suspect.length} recorded ${suspect.length === 1 ? 'piece' : 'pieces'} cut since:`,
    ...suspect.map((s) =>
      s.mayBeShortUm === 0
        ? `    ${s.id}, cut ${s.cutAt}: long enough all the same`
        : `    ${s.id}, cut ${s.cutAt}: short by ${m(s.shortUm)}, perhaps ${m(s.mayBeShortUm)}`,
    ),
  ]
}
