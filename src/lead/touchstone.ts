import { MAX_POINTS, numberAt, refuse, shown, textLines } from './measured-text.ts'
import type { Sweep } from './sweep.ts'
import { keywordOf, type NumberedLine, readKeywords } from './touchstone-keywords.ts'
import { HZ_PER_UNIT, readOption, type TouchstoneOption } from './touchstone-option.ts'
import { ORDER, type RowForm, scatteringOfRow } from './touchstone-row.ts'

/** Noise of a two-port; a lead is not judged by it. */
export interface NoisePoint {
  fHz: number
  /** Effective noise resistance, ohm. */
  rnOhm: number
}

/** A Touchstone file, version 1 or 2, of one or two ports. */
export interface TouchstoneFile {
  version: '1' | '2.0' | '2.1'
  option: TouchstoneOption
  sweep: Sweep
  noise: NoisePoint[]
  /** Lines of the information block. */
  information: string[]
  notes: string[]
}

/**
 * Reads the Touchstone file format (Touchstone File Format Specification, versions 1.1, 2.0 and 2.1, IBIS Open Forum). Anything
 * that is not as specified is refused with the number of its line.
 */
export function readTouchstone(file: string, bytes: Uint8Array): TouchstoneFile {
  const lines = meaningfulLines(file, bytes)
  const first = lines[0]
  if (!first) refuse(file, null, 'it holds nothing but comments.')
  const version = first.text.startsWith('[') ? versionOf(file, first) : '1'
  const optionAt = version === '1' ? 0 : 1
  const line = lines[optionAt]
  if (!line?.text.startsWith('#'))
    refuse(file, line?.line ?? first.line, 'the option line, which begins with #, is missing before this.')
  const option = readOption(file, line.line, line.text)
  const notes: string[] = []
  const rest = withoutFurtherOptions(lines.slice(optionAt + 1), notes)
  const read =
    version === '1' ? readVersion1(file, option, rest) : readVersion2(file, option, withEnd(rest, notes))
  if (read.sweep.ports === 1 && (option.parameter === 'H' || option.parameter === 'G'))
    refuse(file, line.line, `${option.parameter} parameters need two ports, this file has one.`)
  return { ...read, option, notes, version }
}

/** Lines without their comments and without those that are then empty. */
function meaningfulLines(file: string, bytes: Uint8Array): NumberedLine[] {
  const found: NumberedLine[] = []
  textLines(file, bytes).forEach((whole, i) => {
    const mark = whole.indexOf('!')
    const text = (mark < 0 ? whole : whole.slice(0, mark)).trim()
    if (text !== '') found.push({ line: i + 1, text })
  })
  return found
}

function versionOf(file: string, at: NumberedLine): '2.0' | '2.1' {
  const found = keywordOf(file, at)
  if (found?.keyword !== 'Version') refuse(file, at.line, '[Version] must be the first keyword.')
  if (found.rest !== '2.0' && found.rest !== '2.1')
    refuse(file, at.line, `version ${shown(found.rest)} is not known; 2.0 and 2.1 are.`)
  return found.rest
}

/** The specification: only the first option line counts. */
function withoutFurtherOptions(lines: NumberedLine[], notes: string[]): NumberedLine[] {
  return lines.filter(({ line, text }) => {
    if (!text.startsWith('#')) return true
    notes.push(`Line ${line}: a further option line is not used.`)
    return false
  })
}

/** Version 2 asks for [End]; files without it are about, and the announced number of frequencies tells whether one is whole. */
function withEnd(lines: NumberedLine[], notes: string[]): NumberedLine[] {
  if (lines.some(({ text }) => /^\[\s*end\s*\]/i.test(text))) return lines
  notes.push('[End] is missing; the file is whole by its number of frequencies.')
  return [...lines, { line: lines.at(-1)?.line ?? 1, text: '[End]' }]
}

/** Ports by the ending of the name, since version 1 does not say. */
function portsOfName(file: string): 1 | 2 | null {
  const match = /\.s(\d+)p$/i.exec(file)
  if (!match) return null
  if (match[1] === '1' || match[1] === '2') return match[1] === '1' ? 1 : 2
  return refuse(file, null, `${match[1]} ports by its name; a lead has one or two.`)
}

function readVersion1(
  file: string,
  option: TouchstoneOption,
  lines: NumberedLine[],
): Pick<TouchstoneFile, 'sweep' | 'noise' | 'information'> {
  const ports = portsOfName(file)
  if (ports === null) refuse(file, null, 'the name must end in .s1p or .s2p, or the file be of version 2.')
  const zRefOhm = ports === 1 ? [option.referenceOhm] : [option.referenceOhm, option.referenceOhm]
  const order = ports === 1 ? ORDER.onePort : ORDER['21_12']
  const rows = new RowReader(file, { ports, option, zRefOhm, normalised: true, order })
  let i = 0
  for (; i < lines.length; i++) {
    if (lines[i]!.text.startsWith('['))
      refuse(file, lines[i]!.line, 'keywords belong to version 2; [Version] must then be the first line.')
    if (!rows.take(lines[i]!)) break
  }
  const noise = readNoise(file, option, lines.slice(i), option.referenceOhm)
  return { sweep: rows.sweep(lines.at(-1)?.line ?? null), noise, information: [] }
}

function readVersion2(
  file: string,
  option: TouchstoneOption,
  lines: NumberedLine[],
): Pick<TouchstoneFile, 'sweep' | 'noise' | 'information'> {
  const { keywords, next } = readKeywords(file, lines, 0)
  const named = portsOfName(file)
  if (named !== null && named !== keywords.ports)
    refuse(file, lines[0]!.line, `${keywords.ports} ports inside, but the name ends in .s${named}p.`)
  const zRefOhm = keywords.referenceOhm ?? Array.from({ length: keywords.ports }, () => option.referenceOhm)
  const order =
    keywords.ports === 1
      ? ORDER.onePort
      : keywords.matrix === 'full'
        ? ORDER[keywords.dataOrder!]
        : ORDER[keywords.matrix]
  const rows = new RowReader(file, { ports: keywords.ports, option, zRefOhm, normalised: false, order })
  const marks = lines.slice(next).map((line, i) => ({ at: next + i, found: keywordOf(file, line) }))
  const [first, ...others] = marks.filter((mark) => mark.found !== null)
  if (!first) throw new Error('a version 2 file is read without its end')
  for (const line of lines.slice(next, first.at))
    if (!rows.take(line)) refuse(file, line.line, 'the frequency does not rise.')
  const sweep = rows.sweep(lines[first.at]!.line)
  if (sweep.fHz.length !== keywords.frequencies)
    refuse(
      file,
      lines[first.at]!.line,
      `[Number of Frequencies] says ${keywords.frequencies}, there are ${sweep.fHz.length}.`,
    )
  const noise = noiseSection(file, option, lines, first, others, keywords.noiseFrequencies)
  return { sweep, noise, information: keywords.information }
}

type Mark = { at: number; found: ReturnType<typeof keywordOf> }

function noiseSection(
  file: string,
  option: TouchstoneOption,
  lines: NumberedLine[],
  first: Mark,
  others: Mark[],
  announced: number | null,
): NoisePoint[] {
  const isNoise = first.found!.keyword === 'Noise Data'
  const end = isNoise ? others[0] : first
  if (end?.found?.keyword !== 'End')
    refuse(file, lines[end?.at ?? lines.length - 1]!.line, '[End] is missing.')
  const behind = lines[end.at + 1]
  if (behind) refuse(file, behind.line, `${shown(behind.text)} stands behind [End].`)
  if (!isNoise) {
    if (announced !== null) refuse(file, lines[end.at]!.line, '[Noise Data] is announced and missing.')
    return []
  }
  const noise = readNoise(file, option, lines.slice(first.at + 1, end.at), 1)
  if (announced !== noise.length)
    refuse(
      file,
      lines[first.at]!.line,
      `[Number of Noise Frequencies] says ${announced ?? 'nothing'}, there are ${noise.length}.`,
    )
  return noise
}

/** Rows of five: frequency, least noise figure, source reflection and its angle, resistance. */
function readNoise(
  file: string,
  option: TouchstoneOption,
  lines: NumberedLine[],
  perUnitOhm: number,
): NoisePoint[] {
  let before = Number.NEGATIVE_INFINITY
  return lines.map(({ line, text }) => {
    const numbers = text.split(/\s+/).map((word) => numberAt(file, line, word))
    if (numbers.length !== 5) refuse(file, line, `${numbers.length} numbers; a noise line has 5.`)
    const fHz = numbers[0]! * HZ_PER_UNIT[option.unit]
    if (!(fHz > before)) refuse(file, line, 'the frequency does not rise.')
    before = fHz
    return { fHz, rnOhm: numbers[4]! * perUnitOhm }
  })
}

/** Largest S that is taken for a measurement; a passive lead stays below 1. */
const LARGEST_S = 1e3

/** Gathers the rows of a file. */
class RowReader {
  readonly #file: string
  readonly #form: RowForm
  readonly #fHz: number[] = []
  readonly #s: number[] = []

  constructor(file: string, form: RowForm) {
    this.#file = file
    this.#form = form
  }

  /** False where the line begins the noise data of version 1: five numbers, and a frequency that falls back. */
  take({ line, text }: NumberedLine): boolean {
    const { ports, option, order } = this.#form
    const words = text.split(/\s+/)
    const wanted = 1 + 2 * order.length
    const numbers = words.map((word) => numberAt(this.#file, line, word))
    const fHz = numbers[0]! * HZ_PER_UNIT[option.unit]
    const rises = this.#fHz.length === 0 || fHz > this.#fHz.at(-1)!
    if (ports === 2 && !rises && words.length === 5 && wanted !== 5) return false
    if (words.length !== wanted) refuse(this.#file, line, this.#countText(words.length, wanted))
    if (fHz < 0) refuse(this.#file, line, 'a frequency is below 0.')
    if (!rises) refuse(this.#file, line, 'the frequency does not rise.')
    if (this.#fHz.length === MAX_POINTS) refuse(this.#file, line, `more than ${MAX_POINTS} frequencies.`)
    this.#fHz.push(fHz)
    for (const value of scatteringOfRow(this.#form, numbers)) {
      if (!(Math.hypot(value.re, value.im) <= LARGEST_S))
        refuse(
          this.#file,
          line,
          'the values are no measurement of a lead: a reflection or transmission above 1000.',
        )
      this.#s.push(value.re, value.im)
    }
    return true
  }

  #countText(found: number, wanted: number): string {
    const other = this.#form.ports === 2 && found === 3 ? '; one port has 3: is it a .s1p file?' : ''
    const two = this.#form.ports === 1 && found === 9 ? '; two ports have 9: is it a .s2p file?' : ''
    return `${found} numbers in a line that should have ${wanted}${other}${two}.`.replace('?.', '?')
  }

  sweep(line: number | null): Sweep {
    if (this.#fHz.length === 0) refuse(this.#file, line, 'there are no data.')
    return {
      ports: this.#form.ports,
      fHz: Float64Array.from(this.#fHz),
      s: Float64Array.from(this.#s),
      zRefOhm: this.#form.zRefOhm,
    }
  }
}
