import type { PlanInput } from '../../plan/plan-input.ts'
import type { StockAnswer } from '../../works/stock-api.ts'
import { SelectField } from '../parts/select-field.tsx'
import { TextField } from '../parts/text-field.tsx'
import { FaultRows } from './fault-rows.tsx'
import { type GoodsInDraft, type GoodsInStep, tareOf } from './goods-in-draft.ts'

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
export function GoodsInFields({ step, ...props }: Props) {
  switch (step) {
    case 'drum':
      return <DrumFields {...props} />
    case 'cable':
      return <CableFields {...props} />
    case 'weight':
      return <WeightFields {...props} />
    case 'marks':
      return <MarksFields {...props} />
    case 'faults':
      return <FaultRows draft={props.draft} onChange={props.onChange} />
    case 'place':
      return <PlaceFields {...props} />
  }
}

function DrumFields({ draft, onChange }: Pick<Props, 'draft' | 'onChange'>) {
  return (
    <div className="row">
      <TextField
        label="Drum"
        value={draft.drum}
        hint="scan or type"
        onValue={(v) => onChange({ drum: v.trim() })}
      />
      <SelectField
        label="It is"
        value={draft.drumKind}
        options={KINDS}
        onValue={(v) => onChange({ drumKind: v })}
      />
    </div>
  )
}

function CableFields({ draft, input, stock, onChange }: Omit<Props, 'step'>) {
  const { cable, lot, putup } = draft
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
}

function WeightFields({ draft, onChange }: Pick<Props, 'draft' | 'onChange'>) {
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
}

function MarksFields({ draft, onChange }: Pick<Props, 'draft' | 'onChange'>) {
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
}

function PlaceFields({ draft, onChange }: Pick<Props, 'draft' | 'onChange'>) {
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
