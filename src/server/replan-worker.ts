import { explained, type ReplanOrder, tried } from '../solver/replan.ts'
import { answerFromWorker } from './answer-from-worker.ts'

/** The thread in which changes are tried and order lines explained. */
export type AskedOrder = Extract<ReplanOrder, { kind: 'try' | 'explain' }>

await answerFromWorker<AskedOrder, unknown>((order) =>
  order.kind === 'try' ? tried(order) : explained(order),
)
