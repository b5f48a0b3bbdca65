import type { LineSignals } from '../../../works/floor-api.ts'

/** What the line itself says, small: it is a second witness, not the answer. */
export function SignalsLine({ signals }: { signals: LineSignals | null }) {
  if (!signals || signals.state === 'none') return null
  const figures: [string, number | null, string, number][] = [
    ['Counter', signals.counterM, 'm', 2],
    ['Speed', signals.speedMPerMin, 'm/min', 1],
    ['Tension', signals.tensionN, 'N', 0],
    ['Dancer', signals.dancerPct, '%', 0],
    ['Diameter', signals.diameterMm, 'mm', 2],
  ]
  return (
    <section className="signals-line small" aria-label="Live from the line">
      <p className={signals.state === 'live' ? 'quiet' : 'wrong'}>
        {signals.state === 'live' ? 'Live' : `${STATES[signals.state]}. ${signals.message ?? ''}`}
      </p>
      <dl>
        {figures.map(
          ([term, value, unit, digits]) =>
            value !== null && (
              <div key={term}>
                <dt>{term}</dt>
                <dd>
                  {value.toFixed(digits)} {unit}
                </dd>
              </div>
            ),
        )}
      </dl>
      {signals.notices[0] && <p className="wraps wrong">{signals.notices[0].text}</p>}
    </section>
  )
}

const STATES: Record<LineSignals['state'], string> = {
  none: '',
  live: '',
  silent: 'The line says nothing',
  failed: 'The line is not heard',
}
