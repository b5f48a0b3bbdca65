import type { Column } from './column.ts'
import { ORDER_COLUMNS } from './orders-csv.ts'

/** Names of the columns of orders.csv, in order. */
export const ORDER_NAMES: readonly string[] = (Object.values(ORDER_COLUMNS) as Column<unknown>[]).map(
  (c) => c.name,
)

/** What spreadsheets call the columns of orders.csv, in English and German, as `plain` leaves them. */
const SYNONYMS: Readonly<Record<string, readonly string[]>> = {
  order: [
    'orderno',
    'ordernumber',
    'orderid',
    'po',
    'pono',
    'auftrag',
    'auftragnr',
    'auftragsnr',
    'auftragsnummer',
    'bestellung',
    'bestellnr',
    'bestellnummer',
  ],
  line: ['lineno', 'orderline', 'pos', 'posnr', 'position', 'positionsnr', 'item', 'zeile'],
  market: ['markt', 'country', 'land'],
  customer: ['customername', 'client', 'kunde', 'kundenname', 'besteller'],
  channel: ['kanal', 'vertriebsweg'],
  kind: ['art', 'orderkind'],
  cable: ['cabletype', 'kabel', 'kabeltyp', 'kabelart'],
  qty: ['quantity', 'pieces', 'pcs', 'menge', 'anzahl', 'stuck', 'stueck', 'stk', 'stuckzahl', 'stueckzahl'],
  length: ['piecelength', 'lengthperpiece', 'lange', 'laenge'],
  unit: ['uom', 'lengthunit', 'einheit', 'langeneinheit', 'laengeneinheit'],
  tol_minus_pct: ['tolminus', 'toleranzminus', 'minustoleranz'],
  tol_plus_pct: ['tolplus', 'toleranzplus', 'plustoleranz'],
  single_length: ['onelength', 'einelange', 'einelaenge'],
  min_piece_m: ['minpiece', 'mindestlange', 'mindestlaenge'],
  max_parts: ['hochstteile', 'hoechstteile', 'maxteile'],
  same_lot_group: ['samelot', 'lotgroup', 'chargengruppe', 'losgruppe'],
  faults_allowed: ['faults', 'fehlererlaubt'],
  print_required: ['print', 'aufdruck'],
  putup: ['packaging', 'aufmachung'],
  conn_a: ['connector1', 'connectora', 'enda', 'stecker1', 'steckera'],
  conn_b: ['connector2', 'connectorb', 'endb', 'stecker2', 'steckerb'],
  length_definition: ['langendefinition', 'laengendefinition'],
  due_date: [
    'due',
    'dueon',
    'deliverydate',
    'delivery',
    'termin',
    'liefertermin',
    'lieferdatum',
    'fallig',
    'faellig',
  ],
  price_eur: ['price', 'lineprice', 'amount', 'total', 'preis', 'betrag', 'gesamtpreis', 'wert'],
  note: [
    'notes',
    'remark',
    'remarks',
    'comment',
    'bemerkung',
    'bemerkungen',
    'notiz',
    'hinweis',
    'kommentar',
  ],
}

const BY_PLAIN = new Map<string, string>()
for (const name of ORDER_NAMES) BY_PLAIN.set(plain(name), name)
for (const [name, others] of Object.entries(SYNONYMS)) for (const other of others) BY_PLAIN.set(other, name)

/** Lower case, accents off, letters and digits only. */
function plain(heading: string): string {
  return heading
    .normalize('NFD')
    .toLowerCase()
    .replaceAll('ß', 'ss')
    .replace(/[^a-z0-9]/g, '')
}

export interface Heading {
  found: string
  takenAs: string | null
  /** Unit that the heading itself names, as in `Länge (m)`. */
  unit: 'm' | 'ft' | null
}

/** Each heading as a column of orders.csv; a second heading for the same column stays unused. */
export function readHeadings(cells: readonly string[]): Heading[] {
  const taken = new Set<string>()
  const headings = cells.map((found): Heading => {
    const exact = found.trim()
    if (!ORDER_NAMES.includes(exact) || taken.has(exact)) return { found, takenAs: null, unit: null }
    taken.add(exact)
    return { found, takenAs: exact, unit: null }
  })
  for (const heading of headings) {
    if (heading.takenAs !== null) continue
    const { column, unit } = guess(heading.found)
    if (column === undefined || taken.has(column)) continue
    taken.add(column)
    heading.takenAs = column
    heading.unit = unit
  }
  return headings
}

function guess(found: string): { column: string | undefined; unit: 'm' | 'ft' | null } {
  const word = plain(found)
  const column = BY_PLAIN.get(word)
  if (column !== undefined) return { column, unit: null }
  const withUnit = /^(.+?)(?:in)?(m|metres?|meters?|ft|feet|foot|fuss|eur|euro)$/.exec(word)
  const base = withUnit ? BY_PLAIN.get(withUnit[1]!) : undefined
  const unitWord = withUnit?.[2] ?? ''
  if (base === 'length')
    return unitWord.startsWith('eur') ? NONE : { column: base, unit: /^f/.test(unitWord) ? 'ft' : 'm' }
  if (base === 'price_eur' && unitWord.startsWith('eur')) return { column: base, unit: null }
  return NONE
}

const NONE = { column: undefined, unit: null } as const
