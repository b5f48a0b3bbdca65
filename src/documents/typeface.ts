import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import PDFDocument from 'pdfkit'
import { LastmetreError } from '../quantity/errors.ts'

/**
 * The shipped typeface (Source Sans 3, SIL Open Font License), split by its publisher into subsets. A text is set in
 * runs, each in a subset that has its letters; figures are tabular in all of them.
 */
const SUBSETS = [
  'latin',
  'latin-ext',
  'cyrillic',
  'greek',
  'vietnamese',
  'cyrillic-ext',
  'greek-ext',
] as const
export type Subset = (typeof SUBSETS)[number]

/** Weights of the files: 400 for reading, 600 where the eye should go first. */
export type Weight = 400 | 600

const require = createRequire(import.meta.url)
const files = new Map<string, Buffer>()

export function fontFile(subset: Subset, weight: Weight): Buffer {
  const name = `source-sans-3-${subset}-${weight}-normal.woff`
  const known = files.get(name)
  if (known) return known
  const file = readFileSync(require.resolve(`@fontsource/source-sans-3/files/${name}`))
  files.set(name, file)
  return file
}

/** The letters of a subset; read from the font itself, since the published ranges name letters that the files lack. */
const letters = new Map<Subset, Set<number>>()

function lettersOf(subset: Subset): Set<number> {
  const known = letters.get(subset)
  if (known) return known
  const scratch = new PDFDocument({ autoFirstPage: false }).font(fontFile(subset, 400))
  // pdfkit keeps the opened font here; its types do not show it
  const { font } = (scratch as unknown as { _font: { font: { characterSet: number[] } } })._font
  const read = new Set(font.characterSet.filter((code) => code >= 0x20))
  letters.set(subset, read)
  return read
}

/** Looked up in the order of SUBSETS, so that a file is opened only for a letter that those before it lack. */
function subsetOf(letter: string): Subset | null {
  const code = letter.codePointAt(0) ?? 0
  return SUBSETS.find((subset) => lettersOf(subset).has(code)) ?? null
}

/** A stretch of text in one subset. */
export interface TextRun {
  subset: Subset
  text: string
}

/** Stands in place of a letter that the typeface does not have; latin has it. */
const REPLACEMENT = '¤'

/** The runs of a text on one line. Letters that cannot be printed are replaced visibly; see refuseUnprintable for what must not be. */
export function textRuns(text: string): TextRun[] {
  const runs: TextRun[] = []
  for (const letter of printable(text)) {
    const found = subsetOf(letter)
    const subset = found ?? 'latin'
    const shown = found === null ? REPLACEMENT : letter
    const last = runs[runs.length - 1]
    if (last?.subset === subset) last.text += shown
    else runs.push({ subset, text: shown })
  }
  return runs
}

/** The letters of a text that the typeface does not have, each once. */
export function unprintable(text: string): string[] {
  return [...new Set([...printable(text)].filter((letter) => subsetOf(letter) === null))]
}

/** For what a customer must be able to read: a declaration with a letter missing is refused, not printed. */
export function refuseUnprintable(text: string, where: string): void {
  const missing = unprintable(text)
  if (missing.length === 0) return
  const codes = missing
    .slice(0, 5)
    .map((letter) => `U+${(letter.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}`)
  throw new LastmetreError(
    'text-not-printable',
    `${where}: the typeface has no letter for ${codes.join(', ')}.`,
  )
}

/** Composed letters, blanks in place of line ends, and none of the signs that reorder or hide text. */
function printable(text: string): string {
  return text
    .normalize('NFC')
    .replace(/\s+/g, ' ')
    .replace(/[\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]/g, '')
}
