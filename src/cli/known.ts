import { LastmetreError } from '../quantity/errors.ts'

/** The one row with this id, or a refusal that names some that there are. */
export function known<Row>(
  rows: Row[],
  idOf: (row: Row) => string,
  id: string,
  what: string,
  file: string,
): Row {
  const row = rows.find((r) => idOf(r) === id)
  if (row) return row
  const some = rows.slice(0, 20).map(idOf).join(', ')
  const more = rows.length > 20 ? ` and ${rows.length - 20} more` : ''
  throw new LastmetreError('unknown-id', `There is no ${what} ${id} in ${file}, which has ${some}${more}.`)
}
