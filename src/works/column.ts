import { type LengthUm, needUmFromTyped, umFromM } from '../quantity/length.ts'
import { shown } from './problem-list.ts'
import { MAX_LENGTH_M, MAX_NUMBER } from './works-files.ts'

/** Why a cell is refused. */
export class Refusal {
  readonly wrong: string
  readonly right: string
  constructor(wrong: string, right: string) {
    this.wrong = wrong
    this.right = right
  }
}

/** One column of a CSV: its name, what its cells hold, and how a cell becomes a value. */
export interface Column<V> {
  readonly name: string
  /** What would be right, for messages. */
  readonly right: string
  /** Where the id of a cell must be found, for example `cables.csv`. */
  readonly refersTo: string | null
  /** Value of a cell that is empty; undefined where a value is required. */
  readonly empty: V | undefined
  read(text: string): V | Refusal
}

/** The columns of a record, in the order of the contract; the compiler holds each against its field. */
export type Columns<T> = { readonly [K in keyof T]: Column<T[K]> }

const ID = /^[A-Za-z0-9][A-Za-z0-9._-]{0,31}$/
const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,4})?$/
export const ID_RIGHT =
  'an id: a letter or digit, then up to 31 letters, digits, dots, hyphens or underscores, no “..”'

export function isId(text: string): boolean {
  return ID.test(text) && !text.includes('..')
}

/** A column whose cells `read` understands; required. */
export function column<V>(
  name: string,
  right: string,
  read: (text: string) => V | Refusal,
  refersTo: string | null = null,
): Column<V> {
  return { name, right, refersTo, empty: undefined, read }
}

/** The same column where a cell may be empty. */
export function maybe<V>(base: Column<V>): Column<V | null> {
  return { ...base, right: `${base.right}, or empty`, empty: null }
}

export function id(name: string): Column<string> {
  return column(name, ID_RIGHT, (text) =>
    isId(text) ? text : new Refusal(`${shown(text)} is no id`, ID_RIGHT),
  )
}

export function ref(name: string, file: string): Column<string> {
  return { ...id(name), refersTo: file }
}

/** A text cell that a spreadsheet would take for a formula (works folder contract). */
export function looksLikeFormula(text: string): boolean {
  return /^(?:[=@\t]|[+-][^\d. ])/.test(text)
}

export function text(name: string): Column<string> {
  const right = 'text that does not begin like a formula'
  return column(name, right, (cell) => {
    if (looksLikeFormula(cell)) return new Refusal(`${shown(cell)} looks like a formula`, right)
    return cell.trim() === '' ? new Refusal('holds blanks only', 'text') : cell
  })
}

/** A text cell that may be empty; blanks only count as empty. */
export function maybeText(name: string): Column<string | null> {
  const base = text(name)
  return { ...maybe(base), read: (cell) => (cell.trim() === '' ? null : base.read(cell)) }
}

export function choice<const V extends string>(name: string, ...values: V[]): Column<V> {
  const right = values.length === 1 ? values[0]! : `one of ${values.join(', ')}`
  const known = new Set<string>(values)
  return column(name, right, (cell) =>
    known.has(cell) ? (cell as V) : new Refusal(`${shown(cell)} is not allowed`, right),
  )
}

export function yesNo(name: string): Column<boolean> {
  const base = choice(name, 'yes', 'no')
  return column(name, 'yes or no', (cell) => {
    const value = base.read(cell)
    return value instanceof Refusal ? new Refusal(value.wrong, 'yes or no') : value === 'yes'
  })
}

/** Bounds of a number; `above` excludes the bound itself. */
export interface Bounds {
  above?: number
  from?: number
  to?: number
  whole?: boolean
}

function boundsRight(bounds: Bounds): string {
  const parts = [bounds.whole ? 'a whole number' : 'a number']
  if (bounds.above !== undefined) parts.push(`greater than ${bounds.above}`)
  if (bounds.from !== undefined) parts.push(`of at least ${bounds.from}`)
  if (bounds.to !== undefined) parts.push(`${parts.length > 1 ? 'and ' : ''}at most ${bounds.to}`)
  return parts.join(' ')
}

/** Digits with a decimal dot, exponent allowed; no blanks, thousands signs, units, NaN, Infinity or hexadecimal. */
export function parseNumber(cell: string, bounds: Bounds, right = boundsRight(bounds)): number | Refusal {
  if (!NUMBER.test(cell)) return new Refusal(`${shown(cell)} is no number${numberHint(cell)}`, right)
  const value = Number(cell)
  if (!(Math.abs(value) < MAX_NUMBER))
    return new Refusal(`${shown(cell)} is out of range`, `${right}, below ${MAX_NUMBER} in size`)
  if (bounds.whole && !Number.isInteger(value)) return new Refusal(`${shown(cell)} is not whole`, right)
  if (bounds.above !== undefined && !(value > bounds.above)) return new Refusal(`is ${shown(cell)}`, right)
  if (bounds.from !== undefined && !(value >= bounds.from)) return new Refusal(`is ${shown(cell)}`, right)
  if (bounds.to !== undefined && !(value <= bounds.to)) return new Refusal(`is ${shown(cell)}`, right)
  return value === 0 ? 0 : value
}

function numberHint(cell: string): string {
  if (/^\s|\s$/.test(cell)) return ' (a blank stands before or after it)'
  if (/^[+-]?\d+,\d+$/.test(cell)) return ' (a comma stands for the decimal dot)'
  if (/^[+-]?\d{1,3}([,' ]\d{3})+/.test(cell)) return ' (it has a thousands sign)'
  if (/^[+-]?[\d.]+\s*[A-Za-zµ°%"']+$/.test(cell) && !/^[+-]?0x/i.test(cell))
    return ' (the unit belongs in the column name)'
  return ''
}

export function number(name: string, bounds: Bounds = {}): Column<number> {
  const right = boundsRight(bounds)
  return column(name, right, (cell) => parseNumber(cell, bounds, right))
}

/** One of a few whole numbers. */
export function oneOf(name: string, ...values: number[]): Column<number> {
  const right = `one of ${values.join(', ')}`
  return column(name, right, (cell) => {
    const value = parseNumber(cell, {}, right)
    return value instanceof Refusal || values.includes(value)
      ? value
      : new Refusal(`is ${shown(cell)}`, right)
  })
}

export const positive = (name: string, to?: number) =>
  number(name, to === undefined ? { above: 0 } : { above: 0, to })
export const notNegative = (name: string, to?: number) =>
  number(name, to === undefined ? { from: 0 } : { from: 0, to })
export const count = (name: string, to?: number) =>
  number(name, to === undefined ? { above: 0, whole: true } : { above: 0, to, whole: true })

/** A length in metres, kept in metres. */
export const metres = (name: string) => positive(name, MAX_LENGTH_M)

/** A length in metres as whole micrometres; what is greater than 0 must not vanish in the rounding. */
export function lengthUm(name: string, bounds: { above: 0 } | { from: 0 }): Column<LengthUm> {
  const all = { ...bounds, to: MAX_LENGTH_M }
  const right = boundsRight(all)
  return column(name, right, (cell) => {
    const value = parseNumber(cell, all, right)
    if (value instanceof Refusal) return value
    const um = umFromM(value)
    return um === 0 && value > 0 ? new Refusal(`${shown(cell)} is less than a micrometre`, right) : um
  })
}

/** The length of one piece as typed, in metres or feet: the unit stands in another column, so the limit is checked with it. */
export function typedLength(name: string): Column<string> {
  return column(name, 'a number greater than 0', (cell) => {
    const value = parseNumber(cell, { above: 0 })
    if (value instanceof Refusal) return value
    return needUmFromTyped(cell, 'm') > 0 ? cell : new Refusal(`is ${shown(cell)}`, 'a number greater than 0')
  })
}

const DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]

export function isRealDate(text: string): boolean {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text)
  if (!match) return false
  const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])]
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0)
  const last = month === 2 && leap ? 29 : (DAYS[month - 1] ?? 0)
  return year > 0 && day >= 1 && day <= last
}

export const DATE_RIGHT = 'a real date as YYYY-MM-DD'

export function date(name: string): Column<string> {
  return column(name, DATE_RIGHT, (cell) => {
    if (isRealDate(cell)) return cell
    const form = /^\d{4}-\d{2}-\d{2}$/.test(cell)
    return new Refusal(`${shown(cell)} ${form ? 'is a date that does not exist' : 'is no date'}`, DATE_RIGHT)
  })
}

export function month(name: string): Column<string> {
  const right = 'a month as YYYY-MM'
  return column(name, right, (cell) =>
    isRealDate(`${cell}-01`) ? cell : new Refusal(`${shown(cell)} is no month`, right),
  )
}
