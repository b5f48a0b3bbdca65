import { useMemo, useState } from 'react'
import type { PlanInput } from '../../plan/plan-input.ts'
import type { UsableDrum } from '../../strip/usable.ts'
import type { WorksSummary } from '../../works/api.ts'
import type { Notice } from '../../works/problem.ts'
import type { StockAnswer } from '../../works/stock-api.ts'
import { count, many, supplyM } from '../format.ts'
import { ChoiceField } from '../parts/choice-field.tsx'
import { ZoomButtons } from '../parts/zoom-buttons.tsx'
import { useWorks } from '../works-state.tsx'
import { DrumActions } from './drum-actions.tsx'
import { longestCleanUm } from './stock-facts.ts'
import { StockRow } from './stock-row.tsx'

type Order = 'clean' | 'cable' | 'drum'

interface StockFilter {
  cable: string
  lot: string
  order: Order
}

function shown(drums: UsableDrum[], filter: StockFilter): UsableDrum[] {
  const found = drums.filter(
    ({ drum }) => (!filter.cable || drum.cable === filter.cable) && (!filter.lot || drum.lot === filter.lot),
  )
  const byClean = (a: UsableDrum, b: UsableDrum) => longestCleanUm(b) - longestCleanUm(a)
  const byText = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)
  if (filter.order === 'clean') return found.sort(byClean)
  if (filter.order === 'cable')
    return found.sort((a, b) => byText(a.drum.cable, b.drum.cable) || byClean(a, b))
  return found.sort((a, b) => byText(a.drum.drum, b.drum.drum))
}

/** Notices of drums.csv and marks.csv that concern a strip, by its id. */
function witnesses(input: PlanInput, notices: Notice[]): Map<string, Notice[]> {
  const found = new Map<string, Notice[]>()
  for (const notice of notices) {
    if (notice.kind !== 'witness-marks' && notice.kind !== 'witness-weight') continue
    const rows = notice.file === 'marks.csv' ? input.marks : input.drums
    // rows stand in file order below the header, which is row 1
    const drum = notice.row === null ? undefined : rows[notice.row - 2]?.drum
    if (drum) found.set(drum, [...(found.get(drum) ?? []), notice])
  }
  return found
}

/** The strips in store: one a row, with its witnesses and what can be done with it. */
export function StoreView({ input, works, stock, onBooked }: Props) {
  const { usable } = useWorks()
  const [filter, setFilter] = useState<StockFilter>({ cable: '', lot: '', order: 'clean' })
  const [zoom, setZoom] = useState(1)
  const rows = useMemo(() => shown(usable, filter), [usable, filter])
  const notices = useMemo(() => witnesses(input, works.notices), [input, works.notices])
  const mass = useMemo(() => new Map(input.cables.map((c) => [c.cable, c.massKgKm])), [input.cables])
  const longestUm = Math.max(...rows.map((u) => u.lengthUm), 1)
  return (
    <>
      <StockSentence usable={usable} quarrels={notices.size} />
      <StockFilterBar
        input={input}
        usable={usable}
        filter={filter}
        found={rows.length}
        onFilter={setFilter}
      />
      <ZoomButtons zoom={zoom} onZoom={setZoom} />
      <ol className="strips" aria-label="Strips, outer end left">
        {rows.map((u) => (
          <StockRow
            key={u.drum.drum}
            usable={u}
            longestUm={longestUm}
            zoom={zoom}
            massKgKm={mass.get(u.drum.cable) ?? 1}
            notices={notices.get(u.drum.drum) ?? NONE}
            actions={stock && <DrumActions drum={u.drum} stock={stock} onBooked={onBooked} />}
          />
        ))}
      </ol>
    </>
  )
}

interface Props {
  input: PlanInput
  works: WorksSummary
  /** Null until it is answered. */
  stock: StockAnswer | null
  onBooked: () => Promise<void>
}

const NONE: Notice[] = []

function StockSentence({ usable, quarrels }: { usable: UsableDrum[]; quarrels: number }) {
  const free = usable.filter((u) => u.drum.status === 'free')
  const cleanUm = free.reduce((sum, u) => sum + u.clean.reduce((s, c) => s + c.toUm - c.fromUm, 0), 0)
  const held = usable.length - free.length
  const faults = usable.reduce((n, u) => n + u.zones.length, 0)
  return (
    <p className="sentence">
      <strong>{supplyM(cleanUm)}</strong> of clean cable are free, on {many(free.length, 'strip')};{' '}
      {count(held)} more {held === 1 ? 'is' : 'are'} held. {many(faults, 'fault')}{' '}
      {faults === 1 ? 'is' : 'are'} known, and{' '}
      {quarrels === 0
        ? 'all witnesses of length agree.'
        : `on ${many(quarrels, 'strip')} the witnesses of length disagree.`}
    </p>
  )
}

interface FilterBarProps {
  input: PlanInput
  usable: UsableDrum[]
  filter: StockFilter
  found: number
  onFilter: (filter: StockFilter) => void
}

function StockFilterBar({ input, usable, filter, found, onFilter }: FilterBarProps) {
  const lots = useMemo(
    () =>
      [
        ...new Set(
          usable.filter((u) => !filter.cable || u.drum.cable === filter.cable).map((u) => u.drum.lot),
        ),
      ].sort(),
    [usable, filter.cable],
  )
  return (
    <search className="row filter">
      <ChoiceField
        label="Cable"
        value={filter.cable}
        any="all cables"
        options={input.cables.map((c) => [c.cable, c.cable])}
        onValue={(cable) => onFilter({ ...filter, cable, lot: '' })}
      />
      <ChoiceField
        label="Lot"
        value={filter.lot}
        any="all lots"
        options={lots.map((lot) => [lot, lot])}
        onValue={(lot) => onFilter({ ...filter, lot })}
      />
      <ChoiceField
        label="In order of"
        value={filter.order === 'clean' ? '' : filter.order}
        any="longest clean length"
        options={[
          ['cable', 'cable, then clean length'],
          ['drum', 'number'],
        ]}
        onValue={(order) => onFilter({ ...filter, order: (order || 'clean') as Order })}
      />
      <p role="status" className="small quiet">
        {many(found, 'strip')}
      </p>
    </search>
  )
}
