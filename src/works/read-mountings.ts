import { z } from 'zod'
import type { PlanInput } from '../plan/plan-input.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { UM_PER_M, umFromM } from '../quantity/length.ts'
import type { Interval, Mounting } from '../strip/cut-plan.ts'

/** The mountings of a plan.json (docs/plan-files.md), checked against the works they are for. */

const metres = z.number().min(0).max(100_000)
const whole = z.number().int().min(1).max(1_000_000)
const id = z.string().min(1).max(64)
const place = { fromM: metres, toM: metres }
const intervalShape = z.discriminatedUnion('use', [
  z.object({ use: z.literal('end'), ...place }),
  z.object({ use: z.literal('scrap'), ...place, cause: z.string().max(500).default('') }),
  z.object({ use: z.literal('remnant'), ...place, putup: id.optional() }),
  z.object({
    use: z.literal('piece'),
    ...place,
    order: id,
    orderLine: whole,
    piece: whole,
    part: whole.default(1),
    count: whole.default(1),
    declaredM: metres,
    putup: id.optional(),
  }),
])
const planShape = z.object({
  format: z.literal('lastmetre-plan'),
  version: z.literal(1),
  mountings: z.array(z.object({ drum: id, line: id, intervals: z.array(intervalShape).min(1).max(100_000) })),
})

/** Throws, naming the place, where the text is no plan or the plan is not for this works. */
export function readMountings(text: string, input: Pick<PlanInput, 'drums' | 'putups'>): Mounting[] {
  const found = planShape.safeParse(parsed(text))
  if (!found.success) {
    const [issue] = found.error.issues
    throw refused(`${pathText(issue?.path ?? [])}: ${issue?.message ?? 'not a plan'}`)
  }
  const drums = new Set(input.drums.map((d) => d.drum))
  const putups = new Set(input.putups.map((p) => p.putup))
  return found.data.mountings.map(({ drum, line, intervals }, i) => {
    const where = `mountings[${i}]`
    if (!drums.has(drum)) throw refused(`${where}.drum: ${drum} is not in the works`)
    let atM = intervals[0]!.fromM
    const read = intervals.map((interval, k): Interval => {
      const { fromM, toM } = interval
      if (Math.abs(fromM - atM) > 1 / UM_PER_M || toM < fromM)
        throw refused(
          `${where}.intervals[${k}]: does not begin where the one before ends, or ends before it begins`,
        )
      atM = toM
      const putup = 'putup' in interval ? (interval.putup ?? null) : null
      if (putup !== null && !putups.has(putup))
        throw refused(`${where}.intervals[${k}].putup: ${putup} is not in the works`)
      return intervalOf(interval, putup)
    })
    return { drum, line, intervals: read }
  })
}

function intervalOf(interval: z.infer<typeof intervalShape>, putup: string | null): Interval {
  const at = { fromUm: umFromM(interval.fromM), toUm: umFromM(interval.toM) }
  switch (interval.use) {
    case 'end':
      return { ...at, use: 'end' }
    case 'scrap':
      return { ...at, use: 'scrap', cause: interval.cause }
    case 'remnant':
      return { ...at, use: 'remnant', putup }
    case 'piece': {
      const { order, orderLine, piece, part, count, declaredM } = interval
      return {
        ...at,
        use: 'piece',
        order,
        orderLine,
        piece,
        part,
        count,
        declaredUm: umFromM(declaredM),
        putup,
      }
    }
  }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    throw refused('it is not JSON')
  }
}

function pathText(path: PropertyKey[]): string {
  return (
    path.reduce<string>(
      (text, p) => (typeof p === 'number' ? `${text}[${p}]` : `${text}${text ? '.' : ''}${String(p)}`),
      '',
    ) || 'the file'
  )
}

function refused(wrong: string): LastmetreError {
  return new LastmetreError('plan-file-refused', `This plan cannot be used: ${wrong}.`)
}
