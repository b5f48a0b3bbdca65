import type { SettingRow } from '../../line/setting-rows.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'

const COLUMNS: Column<SettingRow>[] = [
  { key: 'name', head: 'Setting', track: '8rem', cell: (row) => <strong>{row.name}</strong> },
  {
    key: 'text',
    head: 'How the line is set',
    track: 'minmax(0, 1fr)',
    wide: true,
    cell: (row) => <span>{row.text}</span>,
  },
  { key: 'why', head: 'Because', track: 'minmax(0, 1fr)', wide: true, cell: (row) => <span>{row.why}</span> },
]

export function SettingTable({ rows }: { rows: SettingRow[] }) {
  return (
    <section className="stack close" aria-labelledby="settings-head">
      <h2 id="settings-head">Settings sheet</h2>
      <DataTable
        caption="Settings with reason and source"
        columns={COLUMNS}
        rows={rows}
        keyOf={(row) => row.name}
      />
    </section>
  )
}
