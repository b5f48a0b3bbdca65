import type { PlanInput } from '../../plan/plan-input.ts'
import type { WorksSummary } from '../../works/api.ts'
import { Refusal } from '../parts/refusal.tsx'
import { PatternTiles } from '../parts/shape-svg.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { useWorks } from '../works-state.tsx'
import { CountView } from './count-view.tsx'
import { GoodsInView } from './goods-in-view.tsx'
import { SendView } from './send-view.tsx'
import { ShelfView } from './shelf-view.tsx'
import { StockViews, useStockView } from './stock-view.tsx'
import { StoreView } from './store-view.tsx'
import { TestsView } from './tests-view.tsx'
import { useStock } from './use-stock.ts'

const QUESTIONS = {
  store: 'what do we really have?',
  'goods-in': 'what has arrived?',
  tests: 'is it good?',
  count: 'is it all there?',
  shelf: 'what is finished and not sold?',
  send: 'what leaves, and what came back?',
}

/** Goods in, the store, the finished shelf, and what leaves it. */
export function StockPlace({ input, works }: { input: PlanInput; works: WorksSummary }) {
  const view = useStockView()
  const { refresh } = useWorks()
  const { stock, error, reload } = useStock(works.version)
  const onBooked = async () => {
    await Promise.all([reload(), refresh()])
  }
  const known = { input, stock: stock as NonNullable<typeof stock>, onBooked }
  return (
    <>
      <PatternTiles />
      <div className="stack">
        <h1 className="place-name" id="place-name">
          Stock: {QUESTIONS[view]}
        </h1>
        <StockViews view={view} />
      </div>
      {error && <Refusal error={error} />}
      {view === 'store' && <StoreView input={input} works={works} stock={stock} onBooked={onBooked} />}
      {view !== 'store' && !stock && !error && <Skeleton />}
      {stock && view === 'goods-in' && <GoodsInView {...known} />}
      {stock && view === 'tests' && <TestsView {...known} />}
      {stock && view === 'count' && <CountView {...known} />}
      {stock && view === 'shelf' && <ShelfView {...known} />}
      {stock && view === 'send' && <SendView {...known} />}
    </>
  )
}
