import type { LineLimit } from '../../line/line-limit.ts'
import { figureText } from '../../quantity/length-text.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'

const figure = (value: number | null, unit: string) =>
  value === null ? 'not known' : `${figureText(value, 3)} ${unit}`

function stateOf({ broken, binding, value }: LineLimit): string {
  if (broken) return '✗ broken'
  if (binding) return '● sets it'
  return value === null ? '? not watched' : '✓ kept'
}

const COLUMNS: Column<LineLimit>[] = [
  { key: 'on', head: 'On', track: '6rem', cell: (l) => <strong>{l.on}</strong> },
  { key: 'name', head: 'Limit', track: 'minmax(0, 1.2fr)', wide: true, cell: (l) => <span>{l.name}</span> },
  {
    key: 'value',
    head: 'At most or least',
    track: '9rem',
    number: true,
    cell: (l) => <span>{l.value === null ? 'not known' : `${l.sense} ${figure(l.value, l.unit)}`}</span>,
  },
  {
    key: 'used',
    head: 'Here',
    track: '8rem',
    number: true,
    cell: (l) => <span>{figure(l.used, l.unit)}</span>,
  },
  {
    key: 'state',
    head: 'So',
    track: '7rem',
    cell: (l) => <span className={l.broken ? 'wrong' : undefined}>{stateOf(l)}</span>,
  },
  {
    key: 'source',
    head: 'Source',
    track: 'minmax(0, 1.2fr)',
    wide: true,
    cell: (l) => <span>{l.source}</span>,
  },
]

export function LimitTable({ limits }: { limits: LineLimit[] }) {
  return (
    <section className="stack close" aria-labelledby="limits-head">
      <h2 id="limits-head">Limits</h2>
      <DataTable
        caption="Every limit, with what is used of it"
        columns={COLUMNS}
        rows={limits}
        keyOf={(l, i) => `${i} ${l.on} ${l.name}`}
      />
    </section>
  )
}
