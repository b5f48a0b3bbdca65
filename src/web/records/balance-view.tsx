import { type Balance, CHANCE_LIMIT } from '../../ledger/balance.ts'
import type { BookBalance } from '../../ledger/book-balance.ts'
import { chanceText } from '../../ledger/trace-words.ts'
import type { UnexplainedFinding } from '../../ledger/unexplained.ts'
import type { BalanceAnswer } from '../../works/records-api.ts'
import { day, daysIn, many } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { Refusal } from '../parts/refusal.tsx'
import { SelectField } from '../parts/select-field.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { useAnswer } from '../use-answer.ts'
import { goToRecord } from './records-view.tsx'
import { YieldSection } from './yield-section.tsx'

const whole = new Intl.NumberFormat('en-GB', {
  maximumFractionDigits: 1,
  minimumFractionDigits: 1,
  useGrouping: 'min2',
})
const metres = (um: number) => whole.format(Math.round(um / 1e5) / 10).replace('-', '−')
const ofM = (m: number) => metres(m * 1e6)

/** Where the metres of a month went, by cable type. */
export function BalanceView({ month }: { month: string | null }) {
  const { answer, error } = useAnswer<BalanceAnswer>(
    `/api/records/balance${month === null ? '' : `?month=${encodeURIComponent(month)}`}`,
  )
  if (error) return <Refusal error={error} />
  if (!answer) return <Skeleton />
  const { balances, books, unexplained, months, ledgerSince } = answer
  return (
    <>
      <section className="stack" aria-label="The balance">
        <BalanceSentence answer={answer} />
        <div className="row">
          <SelectField
            label="Month"
            value={answer.from.slice(0, 7)}
            options={months.map((m) => [m, m] as const)}
            onValue={(m) => goToRecord('balance', m)}
          />
          <p className="quiet small grow">
            {ledgerSince === null
              ? 'The ledger has not begun: it begins with the first thing that is booked.'
              : `The ledger began on ${day(ledgerSince)}; before it there are the books of the works folder.`}
          </p>
        </div>
        {balances.length > 0 && (
          <>
            <p className="small quiet">
              Metres: opening + received + returned = shipped + scrap + samples + trims + over-length +
              closing + unexplained. A dash is none. “Chance” is how often as much would come of measuring
              alone; u is one standard deviation.
            </p>
            <DataTable
              caption="Balance by cable type, metres"
              columns={COLUMNS}
              rows={balances}
              keyOf={(b) => b.cable}
              dense
            />
            <ScrapCauses balances={balances} />
          </>
        )}
        {books.length > 0 && (
          <>
            <h2>Books of before, {books[0]?.month}</h2>
            <p className="small quiet">
              From month_ledger.csv. Trims and over-length were not booked, so they are part of what is
              unexplained; the expected spread follows from what counters and books may err by.
            </p>
            <DataTable
              caption="Books of before, metres"
              columns={BOOKS}
              rows={books}
              keyOf={(b) => b.cable}
            />
          </>
        )}
      </section>
      {unexplained.looks.length > 0 && <Looks finding={unexplained} />}
      <YieldSection />
    </>
  )
}

function BalanceSentence({ answer: { balances, books, unexplained } }: { answer: BalanceAnswer }) {
  const odd = balances.filter((b) => b.chance !== null && b.chance < CHANCE_LIMIT)
  const oddBooks = books.filter((b) => b.chance < CHANCE_LIMIT)
  if (balances.length === 0 && books.length === 0)
    return (
      <p className="sentence">
        <strong>Nothing was booked in this month.</strong>
      </p>
    )
  if (balances.length === 0)
    return (
      <p className="sentence wraps">
        <strong>
          {oddBooks.length === 0
            ? 'The books of every type close within what chance makes.'
            : `The books of ${oddBooks.map((b) => b.cable).join(', ')} do not close within what chance makes.`}
        </strong>
      </p>
    )
  return (
    <p className="sentence wraps" data-testid="balance-sentence">
      <strong>
        {odd.length === 0
          ? 'Every type closes within what chance makes of it.'
          : `${many(odd.length, 'type does', 'types do')} not close: ${odd.map((b) => `${b.cable} ${metres(b.unexplainedUm)} m`).join(', ')}.`}
      </strong>{' '}
      {daysIn(unexplained.says)}
    </p>
  )
}

function judged(b: Balance): string {
  if (b.measuredStrips === 0) return 'not measured anew'
  if (b.chance === null) return 'no uncertainty known'
  return byChance(metres(b.unexplainedUncUm), b.chance)
}

function byChance(uncText: string, chance: number): string {
  return `0 ± ${uncText} (1 u): ${chance < CHANCE_LIMIT ? 'NOT chance' : 'chance'}, ${chanceText(chance).replace(' %', '\u00a0%')}`
}

const figure = (key: string, head: string, of: (b: Balance) => number): Column<Balance> => ({
  ...{ key, head, track: 'minmax(3.6rem, 1fr)', number: true },
  cell: (b) => (of(b) === 0 ? '–' : metres(of(b))),
})

const scrapUm = (b: Balance) => b.scrap.reduce((sum, s) => sum + s.um, 0)

const COLUMNS: Column<Balance>[] = [
  { key: 'cable', head: 'Type', track: 'minmax(5rem, 1.4fr)', cell: (b) => <strong>{b.cable}</strong> },
  figure('opening', 'Opening', (b) => b.openingUm),
  figure('received', 'Received', (b) => b.receivedUm),
  figure('returned', 'Returned', (b) => b.returnedUm),
  figure('shipped', 'Shipped', (b) => b.shippedUm),
  figure('scrap', 'Scrap', scrapUm),
  figure('samples', 'Samples', (b) => b.samplesUm),
  figure('trims', 'Trims', (b) => b.trimsUm),
  { ...figure('over', 'Over-length', (b) => b.overLengthUm), track: 'minmax(4.8rem, 1fr)' },
  figure('closing', 'Closing', (b) => b.closingUm),
  {
    ...{ key: 'unexplained', head: 'Unexplained', track: 'minmax(5.2rem, 1fr)', number: true },
    cell: (b) => <strong>{b.unexplainedUm === 0 ? '0.0' : metres(b.unexplainedUm)}</strong>,
  },
  { key: 'judged', head: 'Expected by chance', track: 'minmax(8.4rem, 2fr)', wide: true, cell: judged },
]

const book = (key: string, head: string, of: (b: BookBalance) => number): Column<BookBalance> => ({
  ...{ key, head, track: 'minmax(5rem, 1fr)', number: true },
  cell: (b) => ofM(of(b)),
})

const BOOKS: Column<BookBalance>[] = [
  { key: 'cable', head: 'Type', track: 'minmax(5.5rem, 1fr)', cell: (b) => <strong>{b.cable}</strong> },
  book('opening', 'Opening', (b) => b.openingM),
  book('received', 'Received', (b) => b.receivedM),
  book('shipped', 'Shipped', (b) => b.shippedM),
  book('scrap', 'Scrap', (b) => b.scrapM),
  book('samples', 'Samples', (b) => b.samplesM),
  book('closing', 'Counted', (b) => b.closingCountedM),
  book('unexplained', 'Unexplained', (b) => b.unexplainedM),
  {
    key: 'judged',
    head: 'Expected by chance',
    track: 'minmax(10rem, 2fr)',
    wide: true,
    cell: (b) => byChance(ofM(b.unexplainedUncM), b.chance),
  },
]

function ScrapCauses({ balances }: { balances: Balance[] }) {
  const rows = balances.flatMap(({ cable, scrap }) => scrap.map((s) => ({ cable, ...s })))
  if (rows.length === 0) return null
  return (
    <details>
      <summary>Scrap by cause</summary>
      <DataTable
        caption="Scrap by cause, metres"
        columns={[
          { key: 'cable', head: 'Type', track: '8rem', cell: (r) => r.cable },
          {
            key: 'cause',
            head: 'Cause',
            track: 'minmax(0, 1fr)',
            cell: (r) => <span className="wraps">{r.cause}</span>,
          },
          { key: 'um', head: 'Metres', track: '8rem', number: true, cell: (r) => metres(r.um) },
        ]}
        rows={rows}
        keyOf={(r) => `${r.cable} ${r.cause}`}
      />
    </details>
  )
}

const KINDS = { line: 'Line', type: 'Cable type', shift: 'Shift' } as const

/** Where a pattern was looked for, and what was seen. */
function Looks({ finding: { looks } }: { finding: UnexplainedFinding }) {
  return (
    <section className="stack" aria-labelledby="looks-head">
      <h2 id="looks-head">Where a pattern was looked for</h2>
      <DataTable
        caption="Lines, types and shifts with what is unexplained"
        columns={[
          { key: 'what', head: 'Of', track: 'minmax(0, 1fr)', cell: (p) => `${KINDS[p.kind]} ${p.name}` },
          { key: 'strips', head: 'Strips', track: '5rem', number: true, cell: (p) => p.strips },
          { key: 'um', head: 'Found less book, m', track: '9rem', number: true, cell: (p) => metres(p.um) },
          {
            key: 'z',
            head: 'Standard deviations',
            track: '9rem',
            number: true,
            cell: (p) => p.z.toFixed(1).replace('-', '−'),
          },
          {
            key: 'chance',
            head: 'Chance, all looks counted',
            track: '12rem',
            cell: (p) => `${chanceText(p.chance)}${p.chance < CHANCE_LIMIT ? ', stands out' : ''}`,
          },
        ]}
        rows={looks}
        keyOf={(p) => `${p.kind} ${p.name}`}
      />
    </section>
  )
}
