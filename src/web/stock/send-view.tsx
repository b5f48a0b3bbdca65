import { useState } from 'react'
import { STOCK_ORDER } from '../../ledger/shelf-piece.ts'
import { ReturnForm } from './return-form.tsx'
import { ShipForm } from './ship-form.tsx'
import type { StockViewProps } from './stock-view.tsx'

/** What leaves today, and what has come back: one or the other, so that it is plain what a scan means. */
export function SendView(props: StockViewProps) {
  const [side, setSide] = useState<'ship' | 'return'>('ship')
  const { pieces } = props.stock
  const ready = pieces.filter(
    (p) => p.order !== null && p.order !== STOCK_ORDER && p.where !== 'returned',
  ).length
  const back = pieces.filter((p) => p.where === 'returned').length
  return (
    <>
      <p className="sentence">
        <strong>
          {ready === 0
            ? 'Nothing is ready to leave'
            : `${ready} finished ${ready === 1 ? 'piece is' : 'pieces are'} ready to leave`}
        </strong>
        {back === 0
          ? '; nothing that came back waits.'
          : `; ${back} that came back ${back === 1 ? 'waits' : 'wait'} for inspection.`}
      </p>
      <fieldset className="row choice-list">
        <legend>What do you do?</legend>
        {(['ship', 'return'] as const).map((id) => (
          <label key={id} className="row choice">
            <input type="radio" name="send-side" checked={side === id} onChange={() => setSide(id)} />
            <strong>{id === 'ship' ? 'Send pieces off' : 'Take pieces back'}</strong>
          </label>
        ))}
      </fieldset>
      {side === 'ship' ? <ShipForm {...props} /> : <ReturnForm {...props} />}
    </>
  )
}
