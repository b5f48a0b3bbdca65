import { useEffect, useState } from 'react'
import type { PlanInput } from '../../plan/plan-input.ts'
import type { StockAnswer } from '../../works/stock-api.ts'

/** The questions of the stock, each with an address of its own behind the #. */
const STOCK_VIEWS = [
  { id: 'store', word: 'In store' },
  { id: 'goods-in', word: 'Goods in' },
  { id: 'tests', word: 'Tests' },
  { id: 'count', word: 'Count' },
  { id: 'shelf', word: 'Finished shelf' },
  { id: 'send', word: 'Ship and return' },
] as const

export type StockViewId = (typeof STOCK_VIEWS)[number]['id']

/** What every view but the store's own looks at. */
export interface StockViewProps {
  input: PlanInput
  stock: StockAnswer
  /** To be awaited after something was booked. */
  onBooked: () => Promise<void>
}

const viewOf = (hash: string): StockViewId => STOCK_VIEWS.find(({ id }) => `#${id}` === hash)?.id ?? 'store'

export function useStockView(): StockViewId {
  const [view, setView] = useState(() => viewOf(window.location.hash))
  useEffect(() => {
    const read = () => setView(viewOf(window.location.hash))
    window.addEventListener('hashchange', read)
    return () => window.removeEventListener('hashchange', read)
  }, [])
  return view
}

export function StockViews({ view }: { view: StockViewId }) {
  return (
    <nav className="bench-views" aria-label="Questions of the stock">
      {STOCK_VIEWS.map(({ id, word }) => (
        <a key={id} href={`#${id}`} aria-current={id === view ? 'true' : undefined}>
          {word}
        </a>
      ))}
    </nav>
  )
}
