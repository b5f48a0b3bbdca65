import { type ChartWanted, chartDrawing } from '../../drawing/chart-drawing.ts'
import type { MonthYield } from '../../ledger/yield.ts'
import type { YieldAnswer } from '../../works/records-api.ts'
import { eur, many, percent } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { drawingWidthPx, TEXT_SIZE_PX } from '../parts/drawing-size.ts'
import { Figure } from '../parts/figure.tsx'
import { Near } from '../parts/near.tsx'
import { useAnswer } from '../use-answer.ts'

const HEIGHT_PX = 260
/** Lines of a chart that dashes can tell apart. */
const MOST_CAUSES = 4

const COLUMNS: Column<MonthYield>[] = [
  { key: 'month', head: 'Month', track: '7rem', cell: (m) => m.month },
  {
    key: 'yield',
    head: 'Yield',
    track: '7rem',
    number: true,
    cell: (m) => (m.yieldRatio === null ? '–' : percent(m.yieldRatio)),
  },
  { key: 'lost', head: 'Lost', track: '9rem', number: true, cell: (m) => eur(m.lostEur) },
  {
    key: 'per',
    head: 'Per 1000 m shipped',
    track: '10rem',
    number: true,
    cell: (m) => (m.eurPerKm === null ? '–' : eur(m.eurPerKm)),
  },
  {
    key: 'causes',
    head: 'By cause',
    track: 'minmax(0, 1fr)',
    wide: true,
    cell: (m) => <span className="wraps">{m.byCause.map((c) => `${c.cause} ${eur(c.eur)}`).join(', ')}</span>,
  },
]

/** What was lost, by cause, in money, over time. */
export function YieldSection() {
  const { answer } = useAnswer<YieldAnswer>('/api/records/yield')
  if (!answer) return null
  const { months } = answer
  const last = months.at(-1)
  return (
    <section className="stack" aria-labelledby="yield-head">
      <h2 id="yield-head">Yield, and what was lost in money</h2>
      {!last && <p className="quiet">Nothing was shipped or lost since the ledger began.</p>}
      {last && (
        <>
          <p className="wraps">
            In {last.month} {eur(last.lostEur)} of material was lost
            {last.yieldRatio === null ? '' : `, a yield of ${percent(last.yieldRatio)}`}
            {last.byCause[0] ? `; most of it as ${last.byCause[0].cause}` : ''}.
          </p>
          {months.length > 1 && (
            <Near heightPx={HEIGHT_PX}>
              {(widthPx) => (
                <Figure
                  told
                  drawing={chartDrawing({
                    ...lossChart(months),
                    ...{ width: drawingWidthPx(widthPx), height: HEIGHT_PX, textSize: TEXT_SIZE_PX },
                  })}
                />
              )}
            </Near>
          )}
          <DataTable
            caption="Yield by month"
            columns={COLUMNS}
            rows={[...months].reverse()}
            keyOf={(m) => m.month}
          />
        </>
      )}
    </section>
  )
}

/** Months before the last one: the chart knows figures, not dates. */
function lossChart(months: MonthYield[]): Omit<ChartWanted, 'width' | 'height' | 'textSize'> {
  const index = (month: string) => 12 * Number(month.slice(0, 4)) + Number(month.slice(5, 7))
  const end = index(months.at(-1)?.month ?? '')
  const x = months.map((m) => index(m.month) - end)
  const sums = new Map<string, number>()
  for (const m of months) for (const c of m.byCause) sums.set(c.cause, (sums.get(c.cause) ?? 0) + c.eur)
  const causes = [...sums].sort((a, b) => b[1] - a[1]).slice(0, MOST_CAUSES)
  return {
    title: `Material lost by month over ${many(months.length, 'month')}, euro.`,
    x: { label: 'months before the last one', leastStep: 1 },
    y: { label: 'euro', from: 0 },
    lines: [
      { name: 'all', x, y: months.map((m) => m.lostEur), dots: true },
      ...causes.map(([cause]) => ({
        ...{ name: cause, x, dots: true },
        y: months.map((m) => m.byCause.find((c) => c.cause === cause)?.eur ?? 0),
      })),
    ],
    list: months.map(
      (m) => `${m.month}: ${eur(m.lostEur)}, ${m.byCause.map((c) => `${c.cause} ${eur(c.eur)}`).join(', ')}.`,
    ),
  }
}
