import { useState } from 'react'
import { measuresType, type TypeMeasure } from '../../ledger/check-kind.ts'
import type { CommandBody } from '../../ledger/command.ts'
import { tapeFigures } from '../../ledger/counters-now.ts'
import { type DueItem, VALID_FOR } from '../../ledger/due.ts'
import type { TestFigure } from '../../ledger/state-rows.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import { useMe } from '../access/me-state.tsx'
import { SelectField } from '../parts/select-field.tsx'
import { TextField } from '../parts/text-field.tsx'
import { BookingNote } from '../stock/booking-note.tsx'
import { useBook } from '../stock/use-book.ts'

interface Props {
  item: DueItem
  input: PlanInput
  onBooked: () => Promise<void>
}

const YEAR_DAYS = 365
const RESULTS = [
  ['passed', 'passed'],
  ['failed', 'failed'],
] as const

/** What of a cable type each of them measures. */
const MEASURED: Record<TypeMeasure, string> = { tape: 'marks', scale: 'mass' }

interface Reading {
  cable: string
  counter: string
  tape: string
  tempC: string
  tensionN: string
  speed: string
  tapeName: string
}

/** A decimal comma is someone's decimal mark. */
const figureOf = (text: string) => (text.trim() === '' ? Number.NaN : Number(text.trim().replace(',', '.')))

/** Records that something was checked or calibrated. Of a counter also what it and the tape showed, which then counts for its correction. */
export function CheckForm({ item, input, onBooked }: Props) {
  const { what, subject, task } = item
  const line =
    what === 'counter' && task === 'check' ? input.site.lines.find((l) => l.id === subject) : undefined
  const cables = input.cables.filter((c) => !line || (c.odMm >= line.odMinMm && c.odMm <= line.odMaxMm))
  const [result, setResult] = useState<'passed' | 'failed'>('passed')
  const [note, setNote] = useState('')
  const measures = measuresType(what) ? what : null
  const [cable, setCable] = useState('')
  const ofCable = measures !== null && cable !== ''
  const [days, setDays] = useState(String(YEAR_DAYS))
  const [reading, setReading] = useState<Reading>(() => ({
    ...{ cable: cables[0]?.cable ?? '', counter: '', tape: '', tempC: '20', tapeName: '' },
    ...{ tensionN: String(cables[0]?.lineTensionN ?? ''), speed: String(line?.vMaxMMin ?? '') },
  }))
  const { whyNot } = useMe()
  const why = whyNot('record-check')
  const booking = useBook(onBooked)
  const figures = line ? readingFigures(reading) : task === 'check' || ofCable ? [] : validFor(days)
  const wrong =
    figures === null
      ? line
        ? 'Write what the counter and the tape showed, in metres.'
        : 'Write whole days.'
      : null
  const ready = why === null && wrong === null
  const body: CommandBody = {
    ...{ kind: 'record-check', what, subject, passed: result === 'passed', figures: figures ?? [] },
    ...(ofCable ? { cable } : {}),
    note: note.trim() === '' ? null : note.trim(),
  }
  const { title, recorded } = titles(item, cable)
  return (
    <section className="stack" aria-labelledby="check-head">
      <h2 id="check-head" className="wraps">
        Record a {title.charAt(0).toLowerCase() + title.slice(1)}
      </h2>
      <form
        className="inputs record-form"
        aria-label={title}
        onSubmit={(event) => {
          event.preventDefault()
          if (ready) void booking.book([body], `${recorded} is recorded as ${result}.`)
        }}
      >
        {line && (
          <ReadingFields reading={reading} cables={cables.map((c) => c.cable)} onReading={setReading} />
        )}
        {measures && <OfCableField tool={measures} {...{ cable, input }} onCable={setCable} />}
        {task !== 'check' && !ofCable && (
          <TextField label="Holds for, days" value={days} onValue={setDays} decimal />
        )}
        <SelectField label="Result" value={result} options={RESULTS} onValue={setResult} />
        <TextField
          label="Note"
          value={note}
          onValue={setNote}
          hint="Certificate, what was seen; may be empty"
        />
        <button type="submit" className="main-action" aria-disabled={!ready || booking.busy}>
          Record it
        </button>
      </form>
      {wrong && <p className="small quiet">{wrong}</p>}
      {why && <p className="small why-not">{why}</p>}
      <BookingNote {...booking} />
    </section>
  )
}

/** What the form asks for, and what it says once it is recorded. */
function titles({ what, subject, task }: DueItem, cable: string): { title: string; recorded: string } {
  const tool = `${what} ${subject}`
  if (!measuresType(what) || cable === '')
    return { title: `${task === 'check' ? 'Check' : task} of ${tool}`, recorded: `The ${tool}` }
  const title = `Check of the ${MEASURED[what]} of ${cable} with ${tool}`
  return { title, recorded: `The ${title.charAt(0).toLowerCase()}${title.slice(1)}` }
}

/** With a tape the marks of a cable type can be checked, on a scale its mass; else the tool itself was. */
function OfCableField(props: {
  tool: TypeMeasure
  cable: string
  input: PlanInput
  onCable: (cable: string) => void
}) {
  const { tool, cable, input, onCable } = props
  return (
    <SelectField
      label="What was checked"
      value={cable}
      options={[
        ['', `the ${tool} itself`],
        ...input.cables.map((c) => [c.cable, `${MEASURED[tool]} of ${c.cable}`] as const),
      ]}
      onValue={onCable}
    />
  )
}

function ReadingFields(props: { reading: Reading; cables: string[]; onReading: (reading: Reading) => void }) {
  const { reading, cables, onReading } = props
  const set = (change: Partial<Reading>) => onReading({ ...reading, ...change })
  return (
    <>
      <SelectField
        label="Cable"
        value={reading.cable}
        options={cables.map((c) => [c, c] as const)}
        onValue={(cable) => set({ cable })}
      />
      <TextField
        label="Counter showed, m"
        value={reading.counter}
        onValue={(counter) => set({ counter })}
        decimal
      />
      <TextField label="Tape says, m" value={reading.tape} onValue={(tape) => set({ tape })} decimal />
      <TextField
        label="Which tape"
        value={reading.tapeName}
        onValue={(tapeName) => set({ tapeName })}
        hint="Its number; may be empty"
      />
      <TextField label="Temperature, °C" value={reading.tempC} onValue={(tempC) => set({ tempC })} decimal />
      <TextField
        label="Tension, N"
        value={reading.tensionN}
        onValue={(tensionN) => set({ tensionN })}
        decimal
      />
      <TextField label="Speed, m/min" value={reading.speed} onValue={(speed) => set({ speed })} decimal />
    </>
  )
}

function readingFigures({
  cable,
  counter,
  tape,
  tempC,
  tensionN,
  speed,
  tapeName,
}: Reading): TestFigure[] | null {
  const [counterM, tapeM] = [figureOf(counter), figureOf(tape)]
  const around = { tempC: figureOf(tempC), tensionN: figureOf(tensionN), speedMMin: figureOf(speed) }
  if (!(counterM > 0) || !(tapeM > 0) || Object.values(around).some(Number.isNaN)) return null
  return tapeFigures({
    cable,
    counterM,
    tapeM,
    ...around,
    tape: tapeName.trim() === '' ? null : tapeName.trim(),
  })
}

function validFor(typed: string): TestFigure[] | null {
  const days = Number(typed)
  if (!(Number.isInteger(days) && days > 0 && days <= 10 * YEAR_DAYS)) return null
  return [{ quantity: VALID_FOR, value: days, unit: 'd', fMhz: null, limit: null, instrument: null }]
}
