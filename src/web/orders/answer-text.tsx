import { placeM, supplyM } from '../format.ts'
import { type OrderAnswer, stretchesOf } from './order-answer.ts'

const SHOWN = 3

/** "D012 at 340–440 m; R003 at 0.5–8.2 m". */
export function sourceText(answer: OrderAnswer, shown = SHOWN): string {
  const stretches = stretchesOf(answer.sources)
  const texts = stretches
    .slice(0, shown)
    .map((s) => `${s.drum} at ${placeM(s.fromUm)}–${placeM(s.toUm)} m${s.pieces > 1 ? ` (${s.pieces})` : ''}`)
  const rest = stretches.length - shown
  return rest > 0 ? `${texts.join('; ')} and ${rest} more` : texts.join('; ')
}

export function offerText(answer: OrderAnswer): string | null {
  const offer = answer.unserved?.offer
  return offer
    ? `Can be offered: ${supplyM(offer.lengthUm)} in one length from ${offer.drum}, lot ${offer.lot}.`
    : null
}

/** The plan's answer to an order line, in a sentence. */
export function AnswerText({ answer }: { answer: OrderAnswer }) {
  if (answer.state === 'not planned')
    return (
      <span>
        Not planned yet;{' '}
        {answer.longest
          ? `longest clean stretch ${supplyM(answer.longest.lengthUm)} on ${answer.longest.drum}`
          : 'no clean cable of this type in stock'}
      </span>
    )
  const offer = offerText(answer)
  return (
    <span>
      {answer.sources.length > 0 &&
        `${answer.state === 'partly' ? 'Partly' : 'Covered'} by ${sourceText(answer)}. `}
      {answer.unserved && (
        <span className="wrong">
          <strong>{answer.state === 'partly' ? `${answer.unserved.pieces} not:` : 'Not covered:'}</strong>{' '}
          {answer.unserved.reason}
        </span>
      )}
      {offer && ` ${offer}`}
    </span>
  )
}
