import { z } from 'zod'
import { DATE_RIGHT, ID_RIGHT, isId, isRealDate } from './column.ts'
import { MAX_CELL_CHARS, MAX_LENGTH_M, MAX_NUMBER } from './works-files.ts'

/** Building blocks of the JSON files. The `error` of each says what would be right; the reader adds what was found. */

const FROM_0 = 'a number of at least 0'
const ABOVE_0 = 'a number greater than 0'
const below = { error: `a number below ${MAX_NUMBER} in size` }
const lengthTo = { error: `a length of at most ${MAX_LENGTH_M} m` }

const any = (error: string) => z.number({ error }).lt(MAX_NUMBER, below).gt(-MAX_NUMBER, below)
export const anyNumber = any('a number')
export const from0 = any(FROM_0).min(0, { error: FROM_0 })
export const above0 = any(ABOVE_0).gt(0, { error: ABOVE_0 })
export const wholeAbove0 = any('a whole number greater than 0')
  .gt(0, { error: 'a whole number greater than 0' })
  .refine(Number.isInteger, { error: 'a whole number greater than 0' })
export const lengthFrom0 = from0.max(MAX_LENGTH_M, lengthTo)
export const lengthAbove0 = above0.max(MAX_LENGTH_M, lengthTo)

const CONTROL = /[\u0000-\u001f\u007f-\u009f\p{Surrogate}]/u
const LABEL = `text of at most ${MAX_CELL_CHARS} characters, without control characters`
export const label = z
  .string({ error: LABEL })
  .refine((text) => text.trim() !== '' && [...text].length <= MAX_CELL_CHARS && !CONTROL.test(text), {
    error: LABEL,
  })

export const anId = z.string({ error: ID_RIGHT }).refine(isId, { error: ID_RIGHT })
export const aDate = z.string({ error: DATE_RIGHT }).refine(isRealDate, { error: DATE_RIGHT })

export function among<const T extends [string, ...string[]]>(...values: T) {
  return z.enum(values, { error: values.length === 1 ? values[0] : `one of ${values.join(', ')}` })
}

const SKILL = 'the id of a line, the oven or a bench, or `bench:task`'
export const aSkill = z
  .string({ error: SKILL })
  .refine((text) => /^[^:]+(?::[a-z_]+)?$/.test(text) && isId(text.split(':')[0] ?? ''), { error: SKILL })

/** `HH:MM-HH:MM`; a shift may run past midnight. */
export const aShift = z
  .string({ error: 'a shift as HH:MM-HH:MM' })
  .regex(/^(?:[01]\d|2[0-3]):[0-5]\d-(?:(?:[01]\d|2[0-3]):[0-5]\d|24:00)$/, {
    error: 'a shift as HH:MM-HH:MM',
  })

export const list = <T extends z.ZodType>(item: T) => z.array(item, { error: 'a list in square brackets' })
export const group = <T extends z.ZodRawShape>(shape: T) => z.object(shape, { error: 'an object in braces' })
export const byKey = <K extends z.ZodString, V extends z.ZodType>(key: K, value: V) =>
  z.record(key, value, { error: 'an object in braces' })
