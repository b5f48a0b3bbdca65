import { useState } from 'react'
import type { FaultPlace } from '../../../../ledger/command.ts'
import { UM_PER_M } from '../../../../quantity/length.ts'
import type { Fault } from '../../../../strip/fault.ts'
import { placeM } from '../../../format.ts'
import { SelectField } from '../../../parts/select-field.tsx'
import { cutsOver } from '../advance-view.ts'
import { figureOf } from '../cut-record.ts'
import type { PanelProps } from '../floor-record.ts'
import { HandButton } from '../hand-button.tsx'
import { Panel, PanelField } from './panel.tsx'

const KINDS: { code: Fault['code']; word: string; letter: string }[] = [
  { code: 'SPK', word: 'Spark', letter: 'S' },
  { code: 'LUMP', word: 'Lump', letter: 'L' },
  { code: 'SCF', word: 'Scuff', letter: 'U' },
  { code: 'PRT', word: 'Print', letter: 'P' },
  { code: 'JNT', word: 'Joint', letter: 'J' },
  { code: 'WET', word: 'Wet end', letter: 'W' },
  { code: 'SRL', word: 'Return loss', letter: 'R' },
]

const SEVERITIES = [
  ['cut_out', 'it is cut out'],
  ['downgrade', 'only for those who allow it'],
  ['note', 'it is only noted'],
] as const

/** A fault, here and now: its kind books it; where it lies is the counter's reading and the way from the head to the cutter. */
export function FaultPanel({ view, cut, signals, record, close }: PanelProps) {
  const [reading, setReading] = useState('')
  const [atHead, setAtHead] = useState(view.sparkToCutterUm !== null)
  const [severity, setSeverity] = useState<Fault['severity']>('cut_out')
  const live = signals?.state === 'live' ? signals.counterM : null
  const readM = reading === '' ? live : figureOf(reading)
  const wrong = readM !== null && !(readM >= 0)
  const restUm = view.mounted?.restUm ?? 0
  const offsetUm = atHead ? (view.sparkToCutterUm ?? 0) : 0
  const place = placeOf(readM, view.errorRatio, offsetUm, restUm, cut?.takenUm ?? restUm)
  const over = cutsOver(view.cuts, place.fromUm, place.toUm).map((i) => view.cuts[i]?.row.cut)
  const overText = over.length > 0 ? `; it lies in cut ${over.slice(0, 3).join(', ')}` : ''
  return (
    <Panel name="Fault here, now" question="What is it? The kind books it, here and now." onClose={close}>
      <div className="hand-grid">
        {KINDS.map(({ code, word, letter }) => (
          <HandButton
            key={code}
            letter={letter}
            disabled={wrong}
            onPress={() =>
              view.mounted &&
              record(
                {
                  kind: 'find-fault',
                  drum: view.mounted.drum,
                  ...{ code, severity, place, what: null, line: view.line, signal: false },
                  foundAt: view.line,
                },
                `fault: ${word.toLowerCase()}${overText}`,
              )
            }
          >
            {word}
          </HandButton>
        ))}
      </div>
      <div className="row">
        <PanelField
          id="fault-reading"
          label="Counter reads now, m"
          value={reading}
          placeholder={live === null ? 'not known: the whole cut' : live.toFixed(2)}
          onType={setReading}
        />
        {view.sparkToCutterUm !== null && (
          <SelectField
            label="Seen where"
            value={atHead ? 'head' : 'cutter'}
            options={[
              ['head', `${placeM(view.sparkToCutterUm)} m before the cutter`],
              ['cutter', 'at the cutter'],
            ]}
            onValue={(seen) => setAtHead(seen === 'head')}
          />
        )}
        <SelectField label="What becomes of it" value={severity} options={SEVERITIES} onValue={setSeverity} />
      </div>
      <p className={wrong ? 'wrong' : 'quiet'}>
        {wrong
          ? 'The reading is no figure.'
          : `It lies ${placeM(place.fromUm)}${place.toUm > place.fromUm ? ` to ${placeM(place.toUm)}` : ''} m from the outer end${overText}. From where to where, by mark, can follow.`}
      </p>
    </Panel>
  )
}

/** True lengths inward of the outer end: reading / (1 + error), and the way from head to cutter on top. Without a reading: all of the cut in hand. */
function placeOf(
  readM: number | null,
  errorRatio: number,
  offsetUm: number,
  restUm: number,
  cutUm: number,
): Extract<FaultPlace, { by: 'counter' }> {
  const within = (um: number) => Math.max(0, Math.min(restUm, Math.round(um)))
  if (readM === null) return { by: 'counter', fromUm: 0, toUm: within(cutUm + offsetUm) }
  const atUm = within(((Number.isNaN(readM) ? 0 : readM) * UM_PER_M) / (1 + errorRatio) + offsetUm)
  return { by: 'counter', fromUm: atUm, toUm: atUm }
}
