import type { Repair } from '../plan/repair.ts'
import { type ReplanOrder, repaired } from '../solver/replan.ts'
import { answerOrders } from './answer-from-worker.ts'

/** The thread in which plans are repaired while the drum turns. */
export type RepairRequest = Extract<ReplanOrder, { kind: 'repair' }>

answerOrders<RepairRequest, Repair>(repaired)
