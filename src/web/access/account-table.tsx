import type { AccountView } from '../../works/access-api.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { instant } from '../works-clock.ts'

const COLUMNS: Column<AccountView>[] = [
  { key: 'account', head: 'Badge', track: 'minmax(96px, 1fr)', cell: (row) => row.account },
  {
    key: 'name',
    head: 'Name',
    track: 'minmax(160px, 2fr)',
    wide: true,
    cell: (row) => <span className="wraps">{row.name}</span>,
  },
  { key: 'role', head: 'Role', track: 'minmax(96px, 1fr)', cell: (row) => row.role },
  { key: 'made', head: 'Made', track: 'minmax(160px, 1fr)', cell: (row) => instant(row.madeAt) },
  { key: 'state', head: 'State', track: 'minmax(160px, 1fr)', cell: stateOf },
]

export function AccountTable({
  accounts,
  chosen,
  onChoose,
}: {
  accounts: AccountView[]
  chosen: string | null
  onChoose: (account: string) => void
}) {
  return (
    <DataTable
      caption={`Accounts: ${accounts.length}`}
      columns={COLUMNS}
      rows={accounts}
      keyOf={(row) => row.account}
      chosen={chosen}
      onChoose={onChoose}
    />
  )
}

function stateOf(row: AccountView): string {
  if (row.closed) return 'closed'
  return row.lockedUntil === null ? 'open' : `locked until ${instant(row.lockedUntil)}`
}
