import { type Deed, MAY, may, ROLES } from '../../ledger/roles.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { deedWords } from './role-words.ts'

/** What the server does by itself is nobody's to do. */
const BY_ITSELF: ReadonlySet<Deed> = new Set([
  'sign-in',
  'refuse-sign-in',
  'set-record-aside',
  'change-account',
])
const DEEDS = (Object.keys(MAY) as Deed[]).filter((deed) => !BY_ITSELF.has(deed))

const COLUMNS: Column<Deed>[] = [
  { key: 'deed', head: 'What is done', track: 'minmax(200px, 3fr)', wide: true, cell: deedWords },
  ...ROLES.map(
    (role): Column<Deed> => ({
      key: role,
      head: role,
      track: 'minmax(80px, 1fr)',
      cell: (deed) => (may(role, deed) ? '✓ may' : '–'),
    }),
  ),
]

/** The one table of roles, to look up. */
export function RoleTable() {
  return (
    <DataTable caption="What each role may do" columns={COLUMNS} rows={DEEDS} keyOf={(deed) => deed} pane />
  )
}
