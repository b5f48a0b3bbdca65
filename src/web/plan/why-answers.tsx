import { useEffect, useRef } from 'react'
import type { Explanation } from '../../plan/explain.ts'
import { eur } from '../format.ts'

/** Why an order line is served as it is, or not, and what else would cost. */
export function WhyAnswers({ explanation, onClose }: { explanation: Explanation; onClose: () => void }) {
  const { order, orderLine, cuts, unserved, answers } = explanation
  const head = useRef<HTMLHeadingElement>(null)
  useEffect(() => {
    if (explanation) head.current?.focus()
  }, [explanation])
  return (
    <section className="stack close try-result" aria-labelledby="why-head">
      <h3 id="why-head" tabIndex={-1} ref={head}>
        {order}/{orderLine}:{' '}
        {cuts.length === 0
          ? 'not cut'
          : `cut from ${cuts.map((c) => `${c.drum} (${c.pieces}) on ${c.line}`).join(', ')}`}
      </h3>
      {unserved && <p className="wraps">{unserved.reason}</p>}
      <ul className="why-list">
        {answers.map((a) => (
          <li key={a.text} className="wraps">
            {a.text.replace(/(\d+\.\d\d) EUR/g, (_, amount: string) => eur(Number(amount)))}
          </li>
        ))}
      </ul>
      <div className="row">
        <button type="button" className="button" onClick={onClose}>
          Put it away
        </button>
      </div>
    </section>
  )
}
