import type { CounterCheck } from '../measure/counter-check.ts'
import type { CheckRow, TestFigure } from './state-rows.ts'
import type { WorksDays } from './works-day.ts'

/** One reading of a counter over a taped length, as a check records it. */
export interface TapeReading {
  cable: string
  /** M. */
  counterM: number
  /** M. */
  tapeM: number
  tempC: number
  tensionN: number
  speedMMin: number
  /** The tape; null where none was named. */
  tape: string | null
}

const READING = 'counter reading of '
const TAPE = 'taped length'
const TEMPERATURE = 'temperature'
const TENSION = 'tension'
const SPEED = 'speed'
/** Figures that one reading makes. */
const PER_READING = 5

/** A reading as the figures of a `record-check` of a counter; several readings of one check stand one after the other. */
export function tapeFigures(reading: TapeReading): TestFigure[] {
  const figure = (quantity: string, value: number, unit: string): TestFigure => ({
    ...{ quantity, value, unit },
    ...{ fMhz: null, limit: null, instrument: null },
  })
  return [
    figure(`${READING}${reading.cable}`, reading.counterM, 'm'),
    { ...figure(TAPE, reading.tapeM, 'm'), instrument: reading.tape },
    figure(TEMPERATURE, reading.tempC, '°C'),
    figure(TENSION, reading.tensionN, 'N'),
    figure(SPEED, reading.speedMMin, 'm/min'),
  ]
}

/** The readings that stand in the figures of a check; figures that make no whole reading are no reading. */
export function tapeReadings(figures: TestFigure[]): TapeReading[] {
  const found: TapeReading[] = []
  for (let i = 0; i + PER_READING <= figures.length; i++) {
    const [counter, tape, temperature, tension, speed] = figures.slice(i, i + PER_READING)
    if (!counter?.quantity.startsWith(READING) || tape?.quantity !== TAPE) continue
    if (temperature?.quantity !== TEMPERATURE || tension?.quantity !== TENSION || speed?.quantity !== SPEED)
      continue
    found.push({
      cable: counter.quantity.slice(READING.length),
      ...{ counterM: counter.value, tapeM: tape.value, tape: tape.instrument },
      ...{ tempC: temperature.value, tensionN: tension.value, speedMMin: speed.value },
    })
  }
  return found
}

/**
 * The tape checks of all counters by date: those that the works folder holds and those recorded since. Corrections, trends and
 * guards are worked out from these. A recorded check counts whether it passed or not: it says what the counter reads.
 */
export function countersNow(written: CounterCheck[], recorded: CheckRow[], days: WorksDays): CounterCheck[] {
  const later = recorded
    .filter((check) => check.what === 'counter')
    .flatMap((check) =>
      tapeReadings(check.figures).map(({ tape: _, ...reading }) => ({
        ...reading,
        date: days.dayOf(check.at),
        line: check.subject,
        person: check.actor,
      })),
    )
  if (later.length === 0) return written
  return [...written, ...later].sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : 0))
}
