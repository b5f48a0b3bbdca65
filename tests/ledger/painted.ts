import type { LedgerState } from '../../src/ledger/state.ts'
import { trueUm } from '../../src/ledger/strip-place.ts'

/** Length of a cell when its strip is new. */
export const CELL_UM = 10_000

/** A centimetre of a strip, painted with what it has become. */
interface Cell {
  strip: string
  at: number
  trueUm: number
  paint: string
}

interface Drum {
  /** From the outer end inwards. */
  cells: Cell[]
  line: string | null
  held: boolean
}

interface Piece {
  cells: Cell[]
  drum: string
  where: string
  ordered: boolean
  failed: boolean
}

/**
 * A hall of centimetres: drums are piles of cells with the outermost on top, and a cut takes cells off the pile. Knows nothing
 * of coordinates, ends and ratios, and says by itself what can be done and what cannot.
 */
export class PaintedHall {
  readonly strips = new Map<string, Cell[]>()
  readonly drums = new Map<string, Drum>()
  readonly pieces = new Map<string, Piece>()

  receive(drum: string, cells: number): boolean {
    if (this.drums.has(drum)) return false
    const strip = Array.from({ length: cells }, (_, at) => ({
      strip: drum,
      at,
      trueUm: CELL_UM,
      paint: `drum ${drum}`,
    }))
    this.strips.set(drum, strip)
    this.drums.set(drum, { cells: [...strip], line: null, held: false })
    return true
  }

  mount(name: string, line: string): boolean {
    const drum = this.drums.get(name)
    if (!drum || drum.cells.length === 0 || drum.line !== null) return false
    if ([...this.drums.values()].some((d) => d.line === line)) return false
    drum.line = line
    return true
  }

  away(name: string): boolean {
    const drum = this.drums.get(name)
    if (!drum || (drum.line === null && drum.cells.length > 0)) return false
    drum.line = null
    return true
  }

  hold(name: string, held: boolean): boolean {
    const drum = this.drums.get(name)
    if (!drum || (!held && !drum.held)) return false
    drum.held = held
    return true
  }

  /** Serials are given in turn. */
  cut(name: string, line: string, pieces: { cells: number; trim: number; ordered: boolean }[]): boolean {
    const drum = this.running(name, line)
    const wanted = pieces.map((p) => p.cells)
    // a trim that is no longer there is not taken
    let left = drum?.cells.length ?? 0
    for (const { cells, trim } of pieces) {
      if (cells > left) return false
      left = Math.max(0, left - cells - trim)
    }
    if (!drum || drum.held || wanted.some((cells) => cells < 1)) return false
    for (const { cells, trim, ordered } of pieces) {
      const number = String(this.pieces.size + 1)
      this.pieces.set(number, {
        ...{ cells: this.take(drum, cells, `piece ${number}`), drum: name },
        ...{ where: 'hall', ordered, failed: false },
      })
      this.take(drum, trim, 'trim')
    }
    return true
  }

  cutOff(name: string, line: string, cells: number, use: string): boolean {
    const drum = this.running(name, line)
    if (!drum || cells < 1 || cells > drum.cells.length) return false
    this.take(drum, cells, use)
    return true
  }

  windOff(name: string, line: string, cells: number, newDrum: string): boolean {
    const drum = this.running(name, line)
    if (!drum || cells < 1 || cells > drum.cells.length || this.drums.has(newDrum)) return false
    const wound = this.take(drum, cells, `drum ${newDrum}`)
    this.drums.set(newDrum, { cells: wound.reverse(), line: null, held: drum.held })
    return true
  }

  /** Every cell of the rest turns out so many times as long. */
  stretch(name: string, times: number): boolean {
    const drum = this.drums.get(name)
    if (!drum || drum.cells.length === 0) return false
    for (const cell of drum.cells) cell.trueUm *= times
    if (times === 0) this.take(drum, drum.cells.length, 'missing')
    return true
  }

  /** So many cells of the rest are there, the others never were. */
  runOut(name: string, cells: number): boolean {
    const drum = this.drums.get(name)
    if (!drum || drum.cells.length === 0) return false
    const never = drum.cells.splice(cells)
    for (const cell of never) cell.trueUm = 0
    this.paint(never, 'missing')
    return true
  }

  move(number: string, from: string[], to: string): boolean {
    const piece = this.pieces.get(number)
    if (!piece || !from.includes(piece.where)) return false
    if (to === 'shipped' && (!piece.ordered || piece.failed || this.drums.get(piece.drum)?.held)) return false
    piece.where = to
    if (to === 'scrapped') this.paint(piece.cells, 'scrap')
    return true
  }

  test(number: string, passed: boolean): boolean {
    const piece = this.pieces.get(number)
    if (!piece || !['hall', 'shelf', 'returned'].includes(piece.where)) return false
    piece.failed = !passed
    return true
  }

  /** Back on the shelf for anybody. */
  shelveReturn(number: string): boolean {
    if (!this.move(number, ['returned'], 'shelf')) return false
    this.pieces.get(number)!.ordered = false
    return true
  }

  restock(number: string, newDrum: string): boolean {
    if (this.drums.has(newDrum) || !this.move(number, ['returned'], 'restocked')) return false
    const { cells } = this.pieces.get(number)!
    this.paint(cells, `drum ${newDrum}`)
    // a coil: what came off the drum first lies innermost
    this.drums.set(newDrum, { cells: [...cells].reverse(), line: null, held: false })
    return true
  }

  /** What differs in the ledger, cell by cell; empty where nothing does. */
  differs(state: LedgerState, nameOf: (number: string) => string): string[] {
    const wrong: string[] = []
    for (const [strip, cells] of this.strips) {
      let totalUm = 0
      let ledgerUm = 0
      const stretches = state.stretches.get(strip) ?? []
      let i = 0
      for (const { at, paint } of cells) {
        const middleUm = (at + 0.5) * CELL_UM
        while (stretches[i] && stretches[i]!.toUm < middleUm) i++
        const { use, ref } = stretches[i]!
        const [what, name] = paint.split(' ')
        const wanted = what === 'piece' ? `piece ${nameOf(name!)}` : paint
        const is = use === 'drum' || use === 'piece' ? `${use} ${ref}` : use
        if (is !== wanted) wrong.push(`${strip} at ${at} cm: ${is}, not ${wanted}`)
      }
      for (const { trueUm: um } of cells) totalUm += um
      for (const stretch of stretches) ledgerUm += trueUm(stretch)
      if (totalUm !== ledgerUm) wrong.push(`${strip}: ${ledgerUm} µm, not ${totalUm}`)
    }
    for (const [number, piece] of this.pieces) {
      const where = state.pieces.get(nameOf(number))?.where
      if (where !== piece.where) wrong.push(`piece ${number}: ${where}, not ${piece.where}`)
    }
    return wrong
  }

  /** True length of so many cells from the outer end. */
  lengthUm(name: string, cells: number): number {
    const drum = this.drums.get(name)
    return cells * (drum?.cells[0]?.trueUm ?? CELL_UM)
  }

  private running(name: string, line: string): Drum | undefined {
    const drum = this.drums.get(name)
    return drum?.line === line && drum.cells.length > 0 ? drum : undefined
  }

  private take(drum: Drum, cells: number, paint: string): Cell[] {
    const taken = drum.cells.splice(0, cells)
    this.paint(taken, paint)
    if (drum.cells.length === 0) drum.line = null
    return taken
  }

  private paint(cells: Cell[], paint: string): void {
    for (const cell of cells) cell.paint = paint
  }
}
