import type { RunAnalysis } from '../../line/replay/run-analysis.ts'
import { figureText } from '../../quantity/length-text.ts'
import { many } from '../format.ts'

/** What the run came to: how long the cable is, and how much of what was found matters. */
export function RunSentence({ analysis }: { analysis: RunAnalysis }) {
  const { line, cable, fromM, toM, missedM, findings, pieces } = analysis
  const wrong = findings.filter((f) => f.severity === 'wrong').length
  const watch = findings.filter((f) => f.severity === 'watch').length
  const mm = figureText(Math.abs(missedM) * 1000, 0)
  const uncounted =
    Math.abs(missedM) < 0.0005
      ? 'nothing passed uncounted'
      : missedM > 0
        ? `${mm} mm passed uncounted`
        : `the counter ran ${mm} mm ahead of the cable`
  return (
    <>
      <p className="sentence wraps" data-testid="run-sentence">
        {line} ran {cable} from {fromM.toFixed(1)} to <strong>{toM.toFixed(1)} m</strong>: {uncounted};{' '}
        <strong>{wrong === 0 ? 'nothing is wrong' : `${many(wrong, 'thing is', 'things are')} wrong`}</strong>
        , {many(watch, 'thing')} to look at.
      </p>
      <ul className="why-list">
        {pieces.flatMap((piece, i) =>
          piece.forecasts.map((f) => (
            <li key={`${piece.fromM} ${f.when} ${f.atS}`} className="wraps">
              {pieces.length > 1 && `Piece ${i + 1}, `}at {figureText(f.atS, 1)} s: {f.text}
            </li>
          )),
        )}
      </ul>
    </>
  )
}
