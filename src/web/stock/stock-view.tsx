import type { PlanInput } from '../../plan/plan-input.ts'
import type { StockAnswer } from '../../works/stock-api.ts'
import { QuestionLinks } from '../parts/question-links.tsx'
import { useHash } from '../route.ts'

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

export function useStockView(): StockViewId {
  const hash = useHash()
  return STOCK_VIEWS.find(({ id }) => `#${id}` === hash)?.id ?? 'store'
}

export function StockViews({ view }: { view: StockViewId }) {
  return <QuestionLinks label="Questions of the stock" views={STOCK_VIEWS} view={view} />
}
