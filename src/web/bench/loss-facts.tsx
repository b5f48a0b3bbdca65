import type { ReactNode } from 'react'
import { figureText } from '../../quantity/length-text.ts'
import type { AnsweredLoss } from './loss-question.ts'

/** Every figure with its unit and what it stands on. */
export function LossFacts({ chain, load, loss }: AnsweredLoss) {
  const db = (value: number) => `${value.toFixed(3)} dB`
  const spread = loss.standardUncertaintyDb
  const facts: [string, ReactNode][] = [
    [
      'Matched loss',
      `${db(loss.matchedLossDb)}: cable ${db(loss.cableLossDb)}, connectors ${db(loss.connectorLossDb)}`,
    ],
    [
      'Standard uncertainty',
      spread === null
        ? 'not known: too few tested points'
        : `${db(spread)} of the matched loss: scatter of the points and the tolerance of the type`,
    ],
    ['Promised at most', `${db(loss.matchedLossLimitDb)}, at the type’s upper tolerance`],
    [
      `Into VSWR ${figureText(load.vswr, 2)}`,
      `${db(loss.totalLossDb)} by the line equation at the worst angle of the load; the handbook’s approximation says ${db(loss.approximateTotalLossDb)}`,
    ],
    [
      'Power at most',
      loss.powerLimitW === null
        ? `not recorded (${loss.limitedBy})`
        : `${figureText(Math.floor(loss.powerLimitW), 0)} W mean, limited by ${loss.limitedBy}`,
    ],
    [
      'Delay',
      `${figureText(loss.delayNs, 4)} ns ± ${figureText(loss.delayPlusMinusNs, 4)} ns from lot to lot`,
    ],
    ['Electrical length', `${figureText(loss.electricalLengthM, 4)} m`],
    [
      'Phase',
      `${figureText(loss.phaseDeg, 2)}° ± ${figureText(loss.phasePlusMinusDeg, 1)}° from lot to lot, after ${Math.floor(loss.turns)} whole turns`,
    ],
    [
      'Temperature',
      `${figureText(chain.tempC, 1)} °C, factor ${figureText(chain.tempFactor, 4)} on the loss at 20 °C`,
    ],
    ['Holds up to', `${figureText(Math.floor(loss.validToMhz), 0)} MHz: ${loss.validToEndedBy}`],
  ]
  return (
    <section className="stack" aria-labelledby="figures-head">
      <h2 id="figures-head">The figures</h2>
      <dl className="facts">
        {facts.map(([name, value]) => (
          <div key={name} className="fact-row">
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <ul className="figure-list small">
        {loss.notes.map((note) => (
          <li key={note}>{note}</li>
        ))}
      </ul>
    </section>
  )
}
