import { isRealDate } from './column.ts'
import { shown } from './problem-list.ts'

/** How figures and dates are written in pasted content, found out from all of its cells together. */
export interface Notation {
  decimalMark: '.' | ','
  /** False where only figures such as `1,234` were found, which may be thousands: those are refused, not guessed. */
  certain: boolean
  /** Order of dates with slashes. */
  slashes: 'day first' | 'month first'
}

export interface Refused {
  wrong: string
  right: string
}

const NUMERIC = new Set([
  'length',
  'tol_minus_pct',
  'tol_plus_pct',
  'tol_minus_mm',
  'tol_plus_mm',
  'min_piece_m',
  'match_f_mhz',
  'match_phase_tol_deg',
  'match_delay_ns',
  'match_delay_tol_ps',
  'f_test_mhz',
  'price_eur',
])
const WHOLE = new Set(['line', 'qty', 'max_parts'])
const YES_NO = new Set(['single_length', 'print_required'])
const WORDS: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  unit: {
    m: 'm',
    metre: 'm',
    metres: 'm',
    meter: 'm',
    meters: 'm',
    ft: 'ft',
    feet: 'ft',
    foot: 'ft',
    fuß: 'ft',
    fuss: 'ft',
    "'": 'ft',
  },
  kind: {
    bulk: 'bulk',
    meterware: 'bulk',
    lead: 'lead',
    leads: 'lead',
    jumper: 'lead',
    anschlusskabel: 'lead',
  },
  channel: { web: 'web', dealer: 'dealer', händler: 'dealer', export: 'export' },
}
const YES_NO_WORDS: Readonly<Record<string, string>> = {
  yes: 'yes',
  y: 'yes',
  ja: 'yes',
  j: 'yes',
  true: 'yes',
  no: 'no',
  n: 'no',
  nein: 'no',
  false: 'no',
}

/** A figure with one mark that may as well be a thousands sign. */
const MAYBE_THOUSANDS = /^[+-]?[1-9]\d{0,2}[.,]\d{3}$/
const WITH_MARK = /^[+-]?\d+([.,])\d+$/

/** `dotIsSure`: the content comes from a program that writes decimal dots, such as a comma separated file. */
export function findNotation(columns: { name: string; cells: string[] }[], dotIsSure: boolean): Notation {
  const sure = { '.': 0, ',': 0 }
  const unsure = { '.': 0, ',': 0 }
  let dayFirst = false
  let monthFirst = false
  for (const { name, cells } of columns) {
    for (const cell of cells) {
      if (NUMERIC.has(name)) {
        const bare = bareFigure(name, cell)
        const mark = WITH_MARK.exec(bare)?.[1] as '.' | ',' | undefined
        if (mark) (MAYBE_THOUSANDS.test(bare) ? unsure : sure)[mark] += 1
      } else if (name === 'due_date') {
        const slash = /^(\d{1,2})\/(\d{1,2})\/\d{4}$/.exec(cell)
        if (slash && Number(slash[1]) > 12) dayFirst = true
        if (slash && Number(slash[2]) > 12) monthFirst = true
      }
    }
  }
  const slashes = monthFirst && !dayFirst ? 'month first' : 'day first'
  if (dotIsSure || sure['.'] > sure[',']) return { decimalMark: '.', certain: true, slashes }
  if (sure[','] > 0) return { decimalMark: ',', certain: true, slashes }
  const onlyComma = unsure[','] > 0 && unsure['.'] === 0
  return { decimalMark: onlyComma ? ',' : '.', certain: unsure['.'] + unsure[','] === 0, slashes }
}

function bareFigure(name: string, cell: string): string {
  return name === 'price_eur' ? cell.replace(/^(?:€|EUR)\s*|\s*(?:€|EUR)$/g, '') : cell
}

/** A cell as orders.csv writes it; what cannot be read for certain is refused rather than guessed. */
export function orderCell(name: string, written: string, notation: Notation): string | Refused {
  const cell = written.trim()
  if (cell === '') return ''
  if (WHOLE.has(name))
    return /[.,' ]/.test(cell)
      ? { wrong: `${shown(cell)} is not whole, or has a thousands sign`, right: 'digits only' }
      : cell
  if (NUMERIC.has(name)) return figure(bareFigure(name, cell), notation)
  if (name === 'due_date') return isoDate(cell, notation)
  if (YES_NO.has(name)) return wordOf(YES_NO_WORDS, cell)
  const words = Object.hasOwn(WORDS, name) ? WORDS[name] : undefined
  return words ? wordOf(words, cell) : cell
}

function wordOf(words: Readonly<Record<string, string>>, cell: string): string {
  const word = cell.toLowerCase()
  return Object.hasOwn(words, word) ? words[word]! : cell
}

function figure(cell: string, { decimalMark, certain }: Notation): string | Refused {
  const mark = WITH_MARK.exec(cell)?.[1]
  if (mark === undefined) return /\d[.,' \u00a0\u202f]\d{3}(?!\d)/.test(cell) ? thousands(cell) : cell
  if (mark !== decimalMark) return thousands(cell)
  if (!certain && MAYBE_THOUSANDS.test(cell))
    return {
      wrong: `${shown(cell)} may be ${cell.replace(/[.,]/, '')} or a figure with decimals`,
      right: 'the figure without a thousands sign, or with decimals that leave no doubt',
    }
  return cell.replace(',', '.')
}

function thousands(cell: string): Refused {
  return {
    wrong: `${shown(cell)} has a thousands sign, or another decimal mark than the rest`,
    right: 'digits with one decimal mark',
  }
}

function isoDate(cell: string, { slashes }: Notation): string | Refused {
  const right = 'a real date, best as YYYY-MM-DD'
  const iso = /^(\d{4}-\d{2}-\d{2})(?:T[\d:.]+Z?)?$/.exec(cell)?.[1]
  const parts = /^(\d{1,2})([./])(\d{1,2})\2(\d{4})$/.exec(cell)
  let date = iso
  if (parts) {
    const monthFirst = parts[2] === '/' && slashes === 'month first'
    const [day, month] = monthFirst ? [parts[3]!, parts[1]!] : [parts[1]!, parts[3]!]
    date = `${parts[4]}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`
  }
  if (date === undefined) return { wrong: `${shown(cell)} is no date`, right }
  return isRealDate(date) ? date : { wrong: `${shown(cell)} is a date that does not exist`, right }
}
