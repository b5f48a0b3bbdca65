import { z } from 'zod'
import type { Plan, Unserved } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { microFromEur } from '../quantity/money.ts'
import { readMountings } from './read-mountings.ts'

/** What is read of a plan.json; what else stands in it is passed over. */

const id = z.string().min(1).max(64)
const whole = z.number().int().min(1).max(1_000_000)

const planShape = z.object({
  format: z.literal('lastmetre-plan'),
  version: z.literal(1),
  works: z.string(),
  service: z.object({ unservedEur: z.number() }),
  bound: z.object({ unservedEur: z.number(), costEur: z.number().optional() }).optional(),
  unserved: z.array(z.object({ order: id, orderLine: whole, pieces: whole, reason: z.string().default('') })),
  byCable: z
    .array(
      z.object({
        cable: id,
        costEur: z.number(),
        boundEur: z.number().optional(),
        deliveredEur: z.number(),
      }),
    )
    .optional(),
})

/** What a repair needs of a plan. */
export type ReadPlan = Pick<Plan, 'works' | 'mountings' | 'unserved' | 'unservedMicro' | 'bound' | 'byCable'>

/** A plan.json as it was written, for this works. Whether it obeys the rules is for plan/verify to say. */
export function readPlanFile(bytes: Uint8Array, input: Pick<PlanInput, 'drums' | 'putups'>): ReadPlan {
  const text = new TextDecoder().decode(bytes)
  const mountings = readMountings(text, input)
  const parsed = planShape.safeParse(jsonOf(text, 'The plan'))
  if (!parsed.success) throw refused('The plan', parsed.error)
  const { works, service, bound, unserved, byCable } = parsed.data
  return {
    works,
    mountings,
    unserved: unserved.map((u): Unserved => ({ ...u, offer: null })),
    unservedMicro: microFromEur(service.unservedEur),
    bound: {
      unservedMicro: microFromEur(bound?.unservedEur ?? 0),
      costMicro: bound?.costEur === undefined ? Number.NEGATIVE_INFINITY : microFromEur(bound.costEur),
    },
    // a type whose bound is not said is proven anew
    byCable: (byCable ?? []).flatMap(({ cable, costEur, boundEur, deliveredEur }) =>
      boundEur === undefined
        ? []
        : [
            {
              cable,
              costMicro: microFromEur(costEur),
              boundMicro: microFromEur(boundEur),
              deliveredMicro: microFromEur(deliveredEur),
            },
          ],
    ),
  }
}

/** Text of a file that a person hands in, as a JSON value. */
export function jsonOf(text: string, what: string): unknown {
  try {
    return JSON.parse(text)
  } catch (error) {
    throw new LastmetreError('event-refused', `${what} is no JSON: ${(error as Error).message}.`)
  }
}

/** The first thing that is wrong, with its place. */
export function refused(what: string, error: z.ZodError): LastmetreError {
  const [issue] = error.issues
  const path = issue?.path.map(String).join('.') ?? ''
  return new LastmetreError(
    'event-refused',
    `${what} is not as described${path === '' ? '' : ` at ${path}`}: ${issue?.message}.`,
  )
}
