import type { ComponentType } from 'react'
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
import { type StockViewId, type StockViewProps, StockViews, useStockView } from './stock-view.tsx'
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

const VIEWS: Record<Exclude<StockViewId, 'store'>, ComponentType<StockViewProps>> = {
  'goods-in': GoodsInView,
  tests: TestsView,
  count: CountView,
  shelf: ShelfView,
  send: SendView,
}

/** Goods in, the store, the finished shelf, and what leaves it. */
export function StockPlace({ input, works }: { input: PlanInput; works: WorksSummary }) {
  const view = useStockView()
  const { refresh } = useWorks()
  const { stock, error, reload } = useStock(works.version)
  const onBooked = async () => {
    await Promise.all([reload(), refresh()])
  }
  const View = view === 'store' ? null : VIEWS[view]
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
      {!View && <StoreView input={input} works={works} stock={stock} onBooked={onBooked} />}
      {View && !stock && !error && <Skeleton />}
      {View && stock && <View input={input} stock={stock} onBooked={onBooked} />}
    </>
  )
}
