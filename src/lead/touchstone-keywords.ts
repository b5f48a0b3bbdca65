import { numberAt, refuse, shown } from './measured-text.ts'

/** What the keywords of a Touchstone 2 file say. */
export interface TouchstoneKeywords {
  ports: 1 | 2
  dataOrder: '12_21' | '21_12' | null
  frequencies: number
  noiseFrequencies: number | null
  /** Reference impedance of each port; null: the one of the option line for all. */
  referenceOhm: number[] | null
  matrix: 'full' | 'lower' | 'upper'
  information: string[]
}

/** One line of a file with its number, comment taken off. */
export interface NumberedLine {
  line: number
  text: string
}

const KNOWN = [
  'Version',
  'Number of Ports',
  'Two-Port Data Order',
  'Number of Frequencies',
  'Number of Noise Frequencies',
  'Reference',
  'Matrix Format',
  'Mixed-Mode Order',
  'Begin Information',
  'End Information',
  'Network Data',
  'Noise Data',
  'End',
] as const

export type Keyword = (typeof KNOWN)[number]

/** `[Keyword] rest` of a line; null where it begins with no bracket. */
export function keywordOf(
  file: string,
  { line, text }: NumberedLine,
): { keyword: Keyword; rest: string } | null {
  if (!text.startsWith('[')) return null
  const match = /^\[([^\]]*)\]\s*(.*)$/.exec(text)
  if (!match) refuse(file, line, 'a keyword is not closed with ].')
  const wanted = match[1]!.trim().replace(/\s+/g, ' ').toLowerCase()
  const keyword = KNOWN.find((k) => k.toLowerCase() === wanted)
  if (!keyword) refuse(file, line, `the keyword ${shown(`[${match[1]}]`)} is not known.`)
  return { keyword, rest: match[2]!.trim() }
}

/** Reads what stands between the option line and [Network Data]; answers the keywords and the index of the line behind it. */
export function readKeywords(
  file: string,
  lines: NumberedLine[],
  from: number,
): { keywords: TouchstoneKeywords; next: number } {
  const seen = new Map<Keyword, { line: number; rest: string }>()
  const information: string[] = []
  let i = from
  for (; i < lines.length; i++) {
    const at = lines[i]!
    const found = keywordOf(file, at)
    if (!found) refuse(file, at.line, `${shown(at.text)} stands before [Network Data].`)
    if (seen.has(found.keyword)) refuse(file, at.line, `[${found.keyword}] is given twice.`)
    seen.set(found.keyword, { line: at.line, rest: found.rest })
    if (found.keyword === 'Network Data') break
    if (found.keyword === 'Begin Information') i = readInformation(file, lines, i, information)
    else if (found.keyword === 'Reference') i = readReferenceLines(file, lines, i, seen)
    else if (['Noise Data', 'End', 'End Information', 'Version'].includes(found.keyword))
      refuse(file, at.line, `[${found.keyword}] stands in the wrong place.`)
  }
  const last = lines.at(-1)?.line ?? 1
  if (i === lines.length) refuse(file, last, '[Network Data] is missing.')
  return { keywords: keywordsFrom(file, seen, lines[i]!.line, information), next: i + 1 }
}

function readInformation(file: string, lines: NumberedLine[], begin: number, into: string[]): number {
  for (let i = begin + 1; i < lines.length; i++) {
    const { text } = lines[i]!
    if (/^\[\s*end\s+information\s*\]/i.test(text)) return i
    into.push(text)
  }
  return refuse(file, lines[begin]!.line, '[Begin Information] has no [End Information].')
}

/** The impedances may go on over several lines. */
function readReferenceLines(
  file: string,
  lines: NumberedLine[],
  at: number,
  seen: Map<Keyword, { line: number; rest: string }>,
): number {
  const first = seen.get('Reference')!
  let i = at
  for (let next = lines[i + 1]; next && !next.text.startsWith('['); next = lines[i + 1]) {
    if (next.text.startsWith('#')) refuse(file, next.line, 'an option line stands within [Reference].')
    first.rest = `${first.rest} ${next.text}`
    i++
  }
  return i
}

function keywordsFrom(
  file: string,
  seen: Map<Keyword, { line: number; rest: string }>,
  dataLine: number,
  information: string[],
): TouchstoneKeywords {
  const need = (keyword: Keyword) =>
    seen.get(keyword) ?? refuse(file, dataLine, `[${keyword}] is missing before [Network Data].`)
  const count = (keyword: Keyword): number => {
    const { line, rest } = need(keyword)
    if (!/^\d{1,7}$/.test(rest) || Number(rest) < 1)
      refuse(file, line, `[${keyword}] needs a whole number above 0.`)
    return Number(rest)
  }
  const mixed = seen.get('Mixed-Mode Order')
  if (mixed) refuse(file, mixed.line, 'mixed-mode data is of balanced lines; a coaxial lead has none.')
  const ports = count('Number of Ports')
  if (ports !== 1 && ports !== 2)
    refuse(file, need('Number of Ports').line, `${ports} ports; a lead has one or two.`)
  return {
    ports,
    dataOrder: dataOrder(file, ports, seen.get('Two-Port Data Order'), dataLine),
    frequencies: count('Number of Frequencies'),
    noiseFrequencies: seen.has('Number of Noise Frequencies') ? count('Number of Noise Frequencies') : null,
    referenceOhm: reference(file, ports, seen.get('Reference')),
    matrix: matrixFormat(file, seen.get('Matrix Format')),
    information,
  }
}

type Given = { line: number; rest: string } | undefined

function dataOrder(file: string, ports: 1 | 2, given: Given, dataLine: number): '12_21' | '21_12' | null {
  if (ports === 1) {
    if (given) refuse(file, given.line, '[Two-Port Data Order] is for two ports, this file has one.')
    return null
  }
  if (!given) refuse(file, dataLine, '[Two-Port Data Order] is missing before [Network Data].')
  if (given.rest !== '12_21' && given.rest !== '21_12')
    refuse(file, given.line, '[Two-Port Data Order] is 12_21 or 21_12.')
  return given.rest
}

function reference(file: string, ports: number, given: Given): number[] | null {
  if (!given) return null
  const ohms = given.rest
    .split(/\s+/)
    .filter(Boolean)
    .map((word) => numberAt(file, given.line, word))
  if (ohms.length !== ports)
    refuse(file, given.line, `[Reference] has ${ohms.length} impedances for ${ports} ports.`)
  if (ohms.some((z) => !(z > 0))) refuse(file, given.line, 'a reference impedance must be above 0 ohm.')
  return ohms
}

function matrixFormat(file: string, given: Given): 'full' | 'lower' | 'upper' {
  if (!given) return 'full'
  const word = given.rest.toLowerCase()
  if (word === 'full' || word === 'lower' || word === 'upper') return word
  return refuse(file, given.line, '[Matrix Format] is Full, Lower or Upper.')
}
