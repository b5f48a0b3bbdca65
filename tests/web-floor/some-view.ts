import type { WantedPiece } from '../../src/ledger/command.ts'
import type { AheadDrum, FloorAhead, FloorCut, FloorView } from '../../src/works/floor-api.ts'

const NO_REPAIR = { because: null, why: '', changes: [], orders: [], tookMs: null, message: null }

export function somePiece(outer: number): WantedPiece {
  return {
    ...{ order: '7116', orderLine: 1, piece: 1, part: null, count: 1, putup: 'C-280' },
    ...{ measuredUm: 100_000_000, uncUm: 20_000, trimUm: 300_000, counterM: 100.3 },
    ...{ markOuter: outer, markInner: outer - 100, inspection: 'as shown' },
  }
}

/** A piece of 100 m with 0.3 m of trim; the print falls. `equal` pieces from here on are alike. */
export function pieceCut(cut: number, outer: number, equal: number): FloorCut {
  return {
    row: {
      ...{ cut: String(cut), what: 'piece 1 of 6', ids: '', order: '7116/1', customer: '', putup: 'C-280' },
      ...{ declared: '100 m', run: '100.300', preset: '100.300', slow: '', stop: '100.290' },
      ...{ held: false, mark: `${(outer - 100.3).toFixed(1)} m`, due: '', dueToday: false },
    },
    ...{ use: 'piece', takenUm: 100_300_000, presetM: 100.3, slowAtM: 95, stopAtM: 100.29 },
    ...{ markOuter: outer, markInner: outer - 100.3, markUnit: 'm', equal, held: false },
    asShown: {
      ...{ kind: 'cut-pieces', drum: 'D1', line: 'RW-1', mounting: 1 },
      pieces: Array.from({ length: equal }, (_, i) => somePiece(outer - i * 100.3)),
    },
  }
}

/** Drum D1 on RW-1 with three equal pieces, outer mark 1000, and D2 to come. */
export function someView(errorRatio = 0): FloorView {
  const rest = { restUm: 500_000_000, restUncUm: 500_000, eurPerM: 2, outerMark: '1000.0 m' }
  const drum = { cable: 'C', lot: 'L', mounting: 1, of: 2, ...rest }
  return {
    ...{ line: 'RW-1', bench: false, seq: 10, newerPlanId: null, errorRatio },
    plan: { planId: 1, number: 'P0001', releasedAt: '', cause: 'planned' },
    mounted: { ...drum, drum: 'D1' },
    nextDrum: { ...drum, drum: 'D2', mounting: 2, place: 'A1', code: 'lastmetre:plan/P0001/mounting/2' },
    cuts: [pieceCut(1, 1000, 3), pieceCut(2, 899.7, 2), pieceCut(3, 799.4, 1)],
    ...{ done: [], dangers: [], correction: '', lengthUncRatio: 1e-4, lengthUncUm: 10_000 },
    repair: { state: 'none', ...NO_REPAIR },
    ...{ sparkToCutterUm: 3_200_000, drawing: null, printer: null, putups: [] },
  }
}

/** D2, D3 and D2 again are to come on RW-1 with two pieces each, and five more mountings after them. */
export function someAhead(): FloorAhead {
  const drum = (name: string, mounting: number): AheadDrum => {
    const own = (cut: FloorCut): FloorCut => ({
      ...cut,
      asShown: { ...cut.asShown, ...{ drum: name, mounting } } as FloorCut['asShown'],
    })
    return {
      drum: {
        ...someView().nextDrum!,
        drum: name,
        mounting,
        code: `lastmetre:plan/P0001/mounting/${mounting}`,
      },
      cuts: [own(pieceCut(1, 2000, 2)), own(pieceCut(2, 1899.7, 1))],
      dangers: [`of ${name}`],
      drawing: null as unknown as AheadDrum['drawing'],
    }
  }
  return { line: 'RW-1', seq: 10, planId: 1, drums: [drum('D2', 2), drum('D3', 3), drum('D2', 4)], more: 5 }
}
