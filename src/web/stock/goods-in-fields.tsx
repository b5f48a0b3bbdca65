import type { PlanInput } from '../../plan/plan-input.ts'
import { readFaults } from '../../works/receipt-text.ts'
import type { StockAnswer } from '../../works/stock-api.ts'
import { many } from '../format.ts'
import { type GoodsInDraft, type GoodsInStep, tareOf } from './goods-in-draft.ts'
import { SelectField } from './select-field.tsx'
import { TextField } from './text-field.tsx'

interface Props {
  step: Exclude<GoodsInStep, 'length'>
  draft: GoodsInDraft
  input: PlanInput
  stock: StockAnswer
  onChange: (part: Partial<GoodsInDraft>) => void
}

const KINDS = [
  ['process_drum', 'a process drum'],
  ['remnant', 'a remnant'],
] as const
const UNITS = [
  ['m', 'metres'],
  ['ft', 'feet'],
  ['none', 'nothing is printed'],
] as const
const CAPS = [
  ['both', 'both ends'],
  ['outer_missing', 'the inner end only'],
  ['inner_missing', 'the outer end only'],
  ['none', 'neither end'],
] as const
const STATES = [
  ['free', 'yes: release it'],
  ['qc_hold', 'no: hold it for quality'],
  ['customer_sample', "no: customer's sample"],
  ['reserved', 'no: reserved'],
] as const

/** The fields of one question. */
export function GoodsInFields({ step, draft, input, stock, onChange }: Props) {
  const { drum, drumKind, cable, lot, putup } = draft
  switch (step) {
    case 'drum':
      return (
        <div className="row">
          <TextField
            label="Drum"
            value={drum}
            hint="scan or type"
            onValue={(v) => onChange({ drum: v.trim() })}
          />
          <SelectField
            label="It is"
            value={drumKind}
            options={KINDS}
            onValue={(v) => onChange({ drumKind: v })}
          />
        </div>
      )
    case 'cable':
      return (
        <div className="row">
          <SelectField
            label="Cable"
            value={cable}
            options={input.cables.map((c) => [c.cable, c.cable])}
            onValue={(v) => onChange({ cable: v })}
          />
          <TextField
            label="Lot"
            value={lot}
            options={[...new Set(stock.drums.filter((d) => d.cable === cable).map((d) => d.lot))]}
            onValue={(v) => onChange({ lot: v.trim() })}
          />
          <SelectField
            label="On"
            value={putup}
            options={input.putups.map((p) => [p.putup, `${p.putup}, ${p.kind.replace('_', ' ')}`])}
            onValue={(v) => onChange({ putup: v, tare: tareOf(input, v) })}
          />
        </div>
      )
    case 'weight':
      return (
        <div className="row">
          <TextField label="Gross, kg" value={draft.gross} decimal onValue={(v) => onChange({ gross: v })} />
          <TextField label="Tare, kg" value={draft.tare} decimal onValue={(v) => onChange({ tare: v })} />
          <TextField
            label="Length on the note, m"
            value={draft.noteM}
            decimal
            hint="may stay empty"
            onValue={(v) => onChange({ noteM: v })}
          />
        </div>
      )
    case 'marks':
      return (
        <div className="row">
          <SelectField
            label="Printed in"
            value={draft.printUnit}
            options={UNITS}
            onValue={(v) => onChange({ printUnit: v })}
          />
          {draft.printUnit !== 'none' && (
            <TextField
              label="Outer mark – inner mark"
              value={draft.marks}
              hint="3304.9 – 2500; after a restart of the print a second pair behind a ;"
              onValue={(v) => onChange({ marks: v })}
            />
          )}
        </div>
      )
    case 'faults':
      return <FaultRows draft={draft} onChange={onChange} />
    case 'place':
      return (
        <div className="row">
          <TextField
            label="Place"
            value={draft.place}
            hint="scan or type"
            onValue={(v) => onChange({ place: v })}
          />
          <SelectField
            label="Capped"
            value={draft.endCaps}
            options={CAPS}
            onValue={(v) => onChange({ endCaps: v })}
          />
          <SelectField
            label="May it be cut from?"
            value={draft.status}
            options={STATES}
            onValue={(v) => onChange({ status: v })}
          />
          {draft.status !== 'free' && (
            <TextField label="Why not" value={draft.reason} onValue={(v) => onChange({ reason: v })} />
          )}
        </div>
      )
  }
}

const SEVERITY = { cut_out: 'cut out', downgrade: 'downgrade', note: 'note' }

function FaultRows({ draft, onChange }: Pick<Props, 'draft' | 'onChange'>) {
  const { faults } = readFaults(draft.faults)
  return (
    <>
      <div className="field">
        <label htmlFor="goods-in-faults">Rows of faults</label>
        <textarea
          id="goods-in-faults"
          rows={5}
          value={draft.faults}
          maxLength={50_000}
          spellCheck={false}
          aria-describedby="goods-in-faults-hint"
          onChange={(event) => onChange({ faults: event.target.value })}
        />
        <span id="goods-in-faults-hint" className="small quiet wraps">
          One a row, pasted or typed: mark from; mark to; code (SPK, LUMP, PRT, SCF, JNT, SRL, WET); severity
          (cut_out, downgrade, note); words. Or with the headings of faults.csv. Empty where there is none.
        </span>
      </div>
      <p role="status">
        <strong>
          {faults.length === 0 ? 'No fault is taken over.' : `${many(faults.length, 'fault')}:`}
        </strong>
      </p>
      {faults.length > 0 && (
        <ul>
          {faults.map((f, i) => (
            // rows may be alike, so their place is part of what they are
            // biome-ignore lint/suspicious/noArrayIndexKey: see above
            <li key={`${i} ${f.markFrom}`} className="wraps">
              {f.code}{' '}
              {f.markFrom === f.markTo ? `at mark ${f.markFrom}` : `from mark ${f.markFrom} to ${f.markTo}`},{' '}
              {SEVERITY[f.severity]}
              {f.what ? `: ${f.what}` : ''}
            </li>
          ))}
        </ul>
      )}
    </>
  )
}
