import { LotTests } from './lot-tests.tsx'
import { PieceTest } from './piece-test.tsx'
import type { StockViewProps } from './stock-view.tsx'

/** Tests of a process lot, and the final test of a finished piece. */
export function TestsView(props: StockViewProps) {
  return (
    <>
      <LotTests {...props} />
      <PieceTest {...props} />
    </>
  )
}
