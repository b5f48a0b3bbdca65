import { useState } from 'react'
import { UM_PER_M } from '../../../../quantity/length.ts'
import { supplyM } from '../../../format.ts'
import { SelectField } from '../../../parts/select-field.tsx'
import { figureOf } from '../cut-record.ts'
import type { PanelProps } from '../floor-record.ts'
import { HandButton } from '../hand-button.tsx'
import { Panel, PanelField, PanelForm } from './panel.tsx'
import { isFarFromBook, RestQuestion } from './rest-question.tsx'

/** What a person can tell of a stop in mid-run (from memory); the book says more of what was run. */
const RAN_OUT_UNC_UM = 100_000
/** What an estimate on the drum is good for where nothing is said: a twentieth of it (from memory). */
const ESTIMATE_RATIO = 0.05

/** The drum has run empty although the book has more on it: what the counter reads is all that came off. */
export function RanOutPanel({ view, signals, record, close }: PanelProps) {
  const [reading, setReading] = useState('')
  const [asked, setAsked] = useState(false)
  const { mounted } = view
  const live = signals?.state === 'live' ? signals.counterM : null
  const readM = reading === '' ? (live ?? 0) : figureOf(reading)
  const wrong = !(readM >= 0)
  const restUm = wrong ? 0 : Math.round((readM * UM_PER_M) / (1 + view.errorRatio))
  const book = () => {
    if (wrong || !mounted) return
    record(
      {
        kind: 'measure-rest',
        // what came off and is not cut yet is still there, and is booked as a cut
        ...{ drum: mounted.drum, newRestUm: restUm, uncUm: RAN_OUT_UNC_UM, how: 'ran out' },
      },
      `${mounted.drum} ran out, ${differenceWords(mounted.restUm, restUm)}`,
    )
  }
  const ranOut = () =>
    !wrong && mounted && isFarFromBook(mounted, restUm, RAN_OUT_UNC_UM) ? setAsked(true) : book()
  if (asked && mounted)
    return <RestQuestion {...{ name: 'Ran out here', mounted, restUm }} onYes={book} onNo={close} />
  return (
    <Panel
      name="Ran out here"
      question={
        mounted ? `What did the counter read when ${mounted.drum} ran out?` : 'No drum is on the line.'
      }
      onClose={close}
    >
      {mounted && (
        <PanelForm onEnter={ranOut}>
          <PanelField
            id="ran-out-reading"
            label="Counter since the last cut, m"
            value={reading}
            placeholder={(live ?? 0).toFixed(2)}
            onType={setReading}
          />
          <HandButton letter="E" disabled={wrong} onPress={ranOut}>
            It ran out
          </HandButton>
          <p className="quiet wraps">
            The book has {supplyM(mounted.restUm)} on it.{' '}
            {restUm > 0 && `${supplyM(restUm)} came off and is cut next, or goes to scrap with Spoiled.`}
          </p>
        </PanelForm>
      )}
    </Panel>
  )
}

function differenceWords(bookUm: number, restUm: number): string {
  return restUm > bookUm
    ? `${supplyM(restUm - bookUm)} more than booked`
    : `${supplyM(bookUm - restUm)} less than booked`
}

const WAYS = [
  ['more left', 'by eye'],
  ['counter', 'by the counter'],
  ['marks', 'by the marks'],
  ['weight', 'by weight'],
] as const

/** There is more on the drum than booked (or less, where it was measured): the rest is measured anew. */
export function MoreLeftPanel({ view, record, close }: PanelProps) {
  const [length, setLength] = useState('')
  const [unc, setUnc] = useState('')
  const [how, setHow] = useState<(typeof WAYS)[number][0]>('more left')
  const [asked, setAsked] = useState(false)
  const { mounted } = view
  const restM = figureOf(length)
  const uncM = unc === '' ? restM * ESTIMATE_RATIO : figureOf(unc)
  const wrong = !(restM > 0) || !(uncM >= 0)
  const restUm = wrong ? 0 : Math.round(restM * UM_PER_M)
  const uncUm = wrong ? 0 : Math.round(uncM * UM_PER_M)
  const book = () => {
    if (wrong || !mounted) return
    record(
      { kind: 'measure-rest', drum: mounted.drum, newRestUm: restUm, uncUm, how },
      `${restM} m left on ${mounted.drum}`,
    )
  }
  const soMuch = () => (!wrong && mounted && isFarFromBook(mounted, restUm, uncUm) ? setAsked(true) : book())
  if (asked && mounted)
    return <RestQuestion {...{ name: 'More left', mounted, restUm }} onYes={book} onNo={close} />
  return (
    <Panel
      name="More left"
      question={
        mounted
          ? `How much is left on ${mounted.drum}? The book says ${supplyM(mounted.restUm)}.`
          : 'No drum is on the line.'
      }
      onClose={close}
    >
      {mounted && (
        <PanelForm onEnter={soMuch}>
          <PanelField id="more-length" label="Left on it, m (true)" value={length} onType={setLength} />
          <PanelField
            id="more-unc"
            label="Give or take, m"
            value={unc}
            placeholder={Number.isNaN(uncM) ? '5 %' : uncM.toFixed(1)}
            onType={setUnc}
          />
          <SelectField label="How it is known" value={how} options={WAYS} onValue={setHow} />
          <HandButton letter="E" disabled={wrong} onPress={soMuch}>
            So much is left
          </HandButton>
        </PanelForm>
      )}
    </Panel>
  )
}
