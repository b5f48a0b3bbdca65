import type { CounterReport, KnownCounter } from '../../measure/counter-report.ts'
import { percentText } from './counter-text.ts'

/** Below this a lag is rounding. */
const NO_LAG_RATIO = 0.00005

/** Error with its band first, then what is done about it. */
export function CounterSentence({
  report,
  guardInForceRatio,
}: {
  report: CounterReport
  guardInForceRatio: number
}) {
  const { line, known, correction } = report
  if (!known)
    return (
      <p className="sentence wraps">
        <strong>{line}: the counter’s error is not known.</strong> {report.unknown}
      </p>
    )
  const { today, factor95 } = known.trend
  const long = today.errorRatio >= 0
  return (
    <p className="sentence wraps" data-testid="counter-sentence">
      The counter of {line} reads{' '}
      <strong>
        {percentText(Math.abs(today.errorRatio))} ± {percentText(factor95 * today.standardRatio)}
      </strong>{' '}
      (95 %) too{' '}
      {long
        ? 'long: uncorrected, customers would be short'
        : 'short: uncorrected, length would be given away'}
      . {driftText(known)}{' '}
      {correction
        ? `In force: a correction of ${percentText(correction.errorRatio)}, the mean of the last ${correction.checks} checks${lagText(known.lagRatio)}.`
        : 'No correction is in force.'}{' '}
      With the guard of {percentText(guardInForceRatio)} in force {shareText(known.shortProbabilityInForce)}{' '}
      of pieces may be short.
    </p>
  )
}

function driftText({ trend }: KnownCounter): string {
  const { slopePerDay, slopeStandardPerDay, factor95 } = trend
  if (slopePerDay === null || slopeStandardPerDay === null)
    return 'Its drift is not known: all checks lie on one day.'
  const sign = slopePerDay >= 0 ? '+' : '−'
  return `It drifts by ${sign}${percentText(Math.abs(slopePerDay), 4)} a day (± ${percentText(factor95 * slopeStandardPerDay, 4)}).`
}

function lagText(lagRatio: number | null): string {
  if (lagRatio === null || Math.abs(lagRatio) < NO_LAG_RATIO) return ''
  return lagRatio > 0
    ? `, ${percentText(lagRatio)} behind the counter of today: by so much corrected pieces are still short`
    : `, ${percentText(-lagRatio)} more than the counter of today needs: given away`
}

function shareText(share: number): string {
  return share < 0.0005 ? 'less than 0.1 %' : percentText(share, 1)
}
