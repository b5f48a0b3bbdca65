import type { OrderLine } from '../../order/order-line.ts'
import { day, eur, lengthM, percent } from '../format.ts'
import { MountingFigure } from '../plan/mounting-figure.tsx'
import { useWorks } from '../works-state.tsx'
import { AnswerText } from './answer-text.tsx'
import { lineKey, type OrderAnswer } from './order-answer.ts'
import { wantedText } from './wanted-text.ts'

interface Props {
  line: OrderLine
  answer: OrderAnswer
}

/** The chosen order line: what was agreed, and the strips that it comes from. */
export function WhereFrom({ line, answer }: Props) {
  const { plan, planned } = useWorks()
  const mountings = [...new Set(answer.sources.map((s) => s.mounting))]
  return (
    <section className="stack where-from" aria-label={`Order line ${lineKey(line)}`}>
      <h2 className="wraps">
        {lineKey(line)}: {wantedText(line)}
      </h2>
      <p className="wraps">
        <AnswerText answer={answer} />
      </p>
      <dl className="facts">
        <dt>Customer</dt>
        <dd>{line.customer}</dd>
        <dt>Due</dt>
        <dd>
          {day(line.dueDate)}, {eur(line.priceEur)}, market {line.market}
        </dd>
        <dt>Length</dt>
        <dd>{toleranceText(line)}</dd>
        <dt>Agreed</dt>
        <dd>{agreedText(line)}</dd>
        {line.note && (
          <>
            <dt>Note</dt>
            <dd>{line.note}</dd>
          </>
        )}
      </dl>
      {plan &&
        planned &&
        mountings.map((index) => (
          <MountingFigure
            key={index}
            input={planned.input}
            mounting={plan.plan.mountings[index]!}
            number={index + 1}
            zoom={1}
            chosenLine={lineKey(line)}
            onChoose={() => undefined}
          />
        ))}
    </section>
  )
}

function toleranceText(line: OrderLine): string {
  const limits =
    line.kind === 'lead'
      ? `−${line.tolMinusMm ?? 0} / +${line.tolPlusMm ?? 0} mm, ${DEFINITIONS[line.lengthDefinition]}`
      : `−${percent((line.tolMinusPct ?? 0) / 100)} / +${percent((line.tolPlusPct ?? 0) / 100)}`
  return `${line.lengthTyped} ${line.unit} (${lengthM(line.lengthUm)}), ${limits}`
}

const DEFINITIONS = {
  jacket: 'visible jacket',
  tip_to_tip: 'tip to tip',
  ref_to_ref: 'reference plane to reference plane',
} as const

function agreedText(line: OrderLine): string {
  const parts = line.singleLength
    ? 'in one length'
    : `in at most ${line.maxParts} parts of at least ${lengthM(line.minPieceUm ?? 0)}`
  return [
    parts,
    line.sameLotGroup && `one lot for all of group ${line.sameLotGroup}`,
    { none: 'no faults', note: 'faults with a note allowed', downgrade: 'downgraded cable allowed' }[
      line.faultsAllowed
    ],
    line.printRequired ? 'print required' : 'print not required',
    line.putup && `on ${line.putup}`,
    line.connA && `connectors ${line.connA} and ${line.connB}`,
  ]
    .filter(Boolean)
    .join(', ')
}
