import PDFDocument from 'pdfkit'
import { fontFile, type Subset, textRuns, type Weight } from './typeface.ts'

/** Points per millimetre. */
export const PT_PER_MM = 72 / 25.4

export const A4_PT: [width: number, height: number] = [595.28, 841.89]

export interface TextStyle {
  size: number
  weight?: Weight
  anchor?: 'start' | 'middle' | 'end'
  colour?: string
  /** Narrower than this the letters are squeezed together, down to 80 %. */
  maxWidth?: number
}

/**
 * Draws on the pages of one PDF: text by its baseline in the shipped typeface, lines, boxes. All places in points from
 * the top left corner of the page.
 */
export class Pen {
  readonly doc: PDFKit.PDFDocument
  readonly #fonts = new Set<string>()
  readonly #widths = new Map<string, number>()

  constructor(title: string, pageSize: [width: number, height: number]) {
    this.doc = new PDFDocument({
      size: pageSize,
      margin: 0,
      autoFirstPage: false,
      lang: 'en-GB',
      displayTitle: true,
      info: { Title: title, Creator: 'Lastmetre' },
    })
  }

  page(): void {
    this.doc.addPage()
  }

  widthOf(text: string, size: number, weight: Weight = 400): number {
    const key = `${weight} ${text}`
    let width = this.#widths.get(key)
    if (width === undefined) {
      width = 0
      for (const run of textRuns(text)) {
        this.#use(run.subset, weight)
        this.doc.fontSize(1000)
        width += this.doc.widthOfString(run.text) / 1000
      }
      this.#widths.set(key, width)
    }
    return width * size
  }

  /** One line of text, never wrapped. */
  text(text: string, x: number, baselineY: number, style: TextStyle): void {
    const {
      size,
      weight = 400,
      anchor = 'start',
      colour = 'black',
      maxWidth = Number.POSITIVE_INFINITY,
    } = style
    const natural = this.widthOf(text, size, weight)
    const scale = natural > maxWidth ? Math.max(maxWidth / natural, 0.8) : 1
    const width = natural * scale
    let at = anchor === 'start' ? x : anchor === 'middle' ? x - width / 2 : x - width
    for (const run of textRuns(text)) {
      this.#use(run.subset, weight)
      this.doc.fontSize(size).fillColor(colour)
      this.doc.text(run.text, at, baselineY, {
        lineBreak: false,
        baseline: 'alphabetic',
        ...(scale < 1 ? { horizontalScaling: scale * 100 } : {}),
      })
      at += (this.doc.widthOfString(run.text) || 0) * scale
    }
  }

  /** The text broken into lines of at most this width; a word that is wider by itself is broken within. */
  wrap(text: string, width: number, size: number, weight: Weight = 400): string[] {
    const lines: string[] = []
    const blank = this.widthOf(' ', size, weight)
    let line = ''
    let lineWidth = 0
    for (const word of text.split(/\s+/).filter(Boolean)) {
      const wordWidth = this.widthOf(word, size, weight)
      if (line && lineWidth + blank + wordWidth <= width) {
        line += ` ${word}`
        lineWidth += blank + wordWidth
        continue
      }
      if (line) lines.push(line)
      line = word
      lineWidth = wordWidth
      while (lineWidth > width) {
        const head = this.#headThatFits(line, width, size, weight)
        lines.push(head)
        line = line.slice(head.length)
        lineWidth = this.widthOf(line, size, weight)
      }
    }
    if (line) lines.push(line)
    return lines
  }

  /** The text, shortened with an ellipsis where it is wider than the room for it. */
  fit(text: string, width: number, size: number, weight: Weight = 400): string {
    if (this.widthOf(text, size, weight) <= width) return text
    return `${this.#headThatFits(text, width - this.widthOf('…', size, weight), size, weight).trimEnd()}…`
  }

  line(x1: number, y1: number, x2: number, y2: number, width = 0.7, colour = 'black'): void {
    this.doc.moveTo(x1, y1).lineTo(x2, y2).lineWidth(width).strokeColor(colour).stroke()
  }

  box(x: number, y: number, width: number, height: number, fill: string | null, strokeWidth = 0): void {
    if (fill) this.doc.rect(x, y, width, height).fill(fill)
    if (strokeWidth > 0) this.doc.rect(x, y, width, height).lineWidth(strokeWidth).stroke('black')
  }

  async bytes(): Promise<Uint8Array> {
    const chunks: Uint8Array[] = []
    const done = new Promise<void>((resolve, reject) => {
      this.doc.on('data', (chunk: Uint8Array) => chunks.push(chunk))
      this.doc.on('end', resolve)
      this.doc.on('error', reject)
    })
    this.doc.end()
    await done
    return new Uint8Array(Buffer.concat(chunks))
  }

  #headThatFits(word: string, width: number, size: number, weight: Weight): string {
    let head = ''
    for (const letter of word) {
      if (head && this.widthOf(head + letter, size, weight) > width) break
      head += letter
    }
    return head
  }

  #use(subset: Subset, weight: Weight): void {
    const name = `${subset}-${weight}`
    if (!this.#fonts.has(name)) {
      this.doc.registerFont(name, fontFile(subset, weight))
      this.#fonts.add(name)
    }
    this.doc.font(name)
  }
}
