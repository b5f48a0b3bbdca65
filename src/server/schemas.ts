import { z } from 'zod'
import type { ErrorAnswer, PlanProgress, TryRequest, WorksSummary } from '../works/api.ts'

/** What the server takes. */
export const openBody = z.strictObject({
  folder: z.string().min(1).max(4_096).describe('Path of a works folder on this machine'),
})
export const previewBody = z.strictObject({
  text: z.string().describe('What a spreadsheet gives: tab, semicolon or comma between cells'),
})
export const storeOrdersBody = z.strictObject({ token: z.string().min(1).max(100) })
export const planBody = z.strictObject({
  seconds: z.number().min(0.5).max(3_600).default(10),
  seed: z.int().min(0).max(2_147_483_647).default(1),
})
const anId = z.string().min(1).max(64)
const whole = z.int().min(0).max(1_000_000)
export const tryBody = z.strictObject({
  changes: z
    .array(
      z.discriminatedUnion('kind', [
        z.strictObject({ kind: z.literal('hold'), mounting: whole, interval: whole }),
        z.strictObject({ kind: z.literal('forbid'), order: anId, orderLine: whole, drum: anId }),
        z.strictObject({ kind: z.literal('exclude'), drum: anId }),
        z.strictObject({
          kind: z.literal('add'),
          like: z.strictObject({ order: anId, orderLine: whole }),
          order: anId,
          qty: z.int().min(1).max(100_000),
          length: z.string().min(1).max(20),
          dueDate: z.string().max(10),
          priceEur: z.number().min(0).max(1e9),
        }),
      ]),
    )
    .min(1)
    .max(50),
  seconds: z.number().min(0.1).max(60).default(2),
}) satisfies z.ZodType<TryRequest>
export const takeBody = z.strictObject({
  token: z.string().min(1).max(100),
  take: z.enum(['before', 'after']),
})
export const takenShape = z.object({ planId: z.number() })
export const explainBody = z.strictObject({
  order: anId,
  orderLine: whole,
  seconds: z.number().min(0.1).max(60).default(1),
})
export const inputQuery = z.strictObject({ version: z.coerce.number().int().min(1).optional() })
export const inputOrPlanQuery = inputQuery.extend({ plan: z.coerce.number().int().min(1).optional() })

/** What it answers, where that is small; the larger answers are described in words. */
export const problemShape = z.object({
  file: z.string(),
  row: z.number().nullable(),
  column: z.string().nullable(),
  wrong: z.string(),
  right: z.string(),
})

export const errorShape = z.object({
  code: z.string(),
  message: z.string(),
  todo: z.string(),
  problems: z.array(problemShape).exactOptional(),
  more: z.number().exactOptional(),
}) satisfies z.ZodType<ErrorAnswer>

export const worksShape = z.object({
  version: z.number(),
  folder: z.string(),
  name: z.string(),
  town: z.string(),
  todayDate: z.string(),
  openedAt: z.string(),
  counts: z.object({
    cables: z.number(),
    drums: z.number(),
    faults: z.number(),
    orders: z.number(),
  }),
  notices: z.array(z.custom<WorksSummary['notices'][number]>()),
}) satisfies z.ZodType<WorksSummary>

export const progressShape = z.object({
  state: z.enum(['idle', 'running', 'stopping', 'done', 'failed']),
  planId: z.number().nullable(),
  phase: z.enum(['first plan', 'bound', 'improving', 'done']).nullable(),
  elapsedMs: z.number(),
  seconds: z.number(),
  unservedEur: z.number().nullable(),
  costEur: z.number().nullable(),
  boundCostEur: z.number().nullable(),
  boundUnservedEur: z.number().nullable(),
  message: z.string().nullable(),
}) satisfies z.ZodType<PlanProgress>
