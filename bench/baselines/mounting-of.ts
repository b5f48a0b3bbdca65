import type { RewindingLine } from '../../src/hall/rewinding-line.ts'
import type { Catalog } from '../../src/plan/catalog.ts'
import {
  benchMountMicro,
  lineMountMicro,
  materialMicroPerM,
  putupChangeMicro,
  SHORT_REST_UM,
  scrapMicroPerM,
  stretchValueMicro,
  windOffMicro,
} from '../../src/plan/tariff.ts'
import { microFromEur } from '../../src/quantity/money.ts'
import type { Interval, Mounting } from '../../src/strip/cut-plan.ts'
import type { Stretch } from '../../src/strip/usable.ts'
import { holds, type Placed, type ShelfDrum } from './shelf.ts'

/** Pieces of one put-up side by side, on the cheapest line that can run them, and something sensible done with the rest. */
export function mountingOf(catalog: Catalog, drum: ShelfDrum): Mounting {
  const pieces = groupedByPutup(drum)
  const runner = cheapestRunner(catalog, drum, pieces)
  const line = catalog.lines.get(runner) ?? null
  const { usable } = drum
  const intervals: Interval[] = []
  let atUm = usable.good.fromUm
  if (atUm > 0) intervals.push({ fromUm: 0, toUm: atUm, use: 'end' })
  for (const piece of pieces) {
    intervals.push(...between(catalog, drum, line, { fromUm: atUm, toUm: piece.fromUm }))
    intervals.push({
      fromUm: piece.fromUm,
      toUm: piece.toUm,
      use: 'piece',
      order: piece.line.order,
      orderLine: piece.line.line,
      piece: piece.piece,
      part: piece.part,
      count: piece.count,
      declaredUm: piece.declaredUm,
      putup: piece.putup,
    })
    atUm = piece.toUm
  }
  if (usable.lengthUm > atUm) intervals.push(...rest(catalog, drum, line, atUm))
  return { drum: usable.drum.drum, line: runner, intervals }
}

/** Within a stretch without soft faults the pieces may change places. */
function groupedByPutup(drum: ShelfDrum): Placed[] {
  const { usable } = drum
  let last: string | null | undefined
  return usable.clean.flatMap((stretch) => {
    const pieces = drum.placed
      .filter((p) => p.fromUm >= stretch.fromUm && p.toUm <= stretch.toUm)
      .sort((a, b) => a.fromUm - b.fromUm)
    const soft = usable.zones.some(
      (z) => z.fault.severity !== 'cut_out' && z.fromUm < stretch.toUm && z.toUm > stretch.fromUm,
    )
    if (!soft) {
      const key = (p: Placed) => (p.putup === last ? '' : `+${p.putup}`)
      pieces.sort((a, b) => key(a).localeCompare(key(b)))
      let atUm = stretch.fromUm
      for (const piece of pieces) {
        const lengthUm = piece.toUm - piece.fromUm
        piece.fromUm = atUm
        atUm += lengthUm
        piece.toUm = atUm
      }
    }
    last = pieces.at(-1)?.putup ?? last
    return pieces
  })
}

function cheapestRunner(catalog: Catalog, drum: ShelfDrum, pieces: Placed[]): string {
  const changes = pieces.filter((p, i) => i > 0 && p.putup !== pieces[i - 1]!.putup).length
  const cost = (id: string) => {
    const line = catalog.lines.get(id)
    if (!line) return benchMountMicro(catalog.benches.get(id)!)
    return lineMountMicro(line, catalog.input.costs, false) + changes * putupChangeMicro(line)
  }
  return drum.runners.reduce((a, b) => (cost(b) < cost(a) ? b : a))
}

function worth(catalog: Catalog, { usable, cable }: ShelfDrum, kept: Stretch): number {
  const perM = materialMicroPerM(catalog.input.costs, cable.cable)
  return usable.clean.reduce((sum, s) => {
    const lengthUm = Math.min(kept.toUm, s.toUm) - Math.max(kept.fromUm, s.fromUm)
    return sum + stretchValueMicro(perM, cable.minKeepUm, lengthUm)
  }, 0)
}

/** What the wind-off of a stretch is worth beyond scrapping it, and on which put-up; null where it is not worth it. */
function windOff(catalog: Catalog, drum: ShelfDrum, line: RewindingLine | null, stretch: Stretch) {
  if (line === null) return null
  const { costs } = catalog.input
  const lengthUm = stretch.toUm - stretch.fromUm
  const putup = catalog.input.putups
    .filter(
      (p) =>
        p.kind !== 'process_drum' &&
        line.takeupPutups.includes(p.putup) &&
        holds(catalog, p, drum.cable, lengthUm, lengthUm),
    )
    .sort((a, b) => a.costEur - b.costEur)[0]
  if (!putup) return null
  const costMicro =
    windOffMicro(line, costs, lengthUm) +
    microFromEur(putup.costEur) +
    putupChangeMicro(line) +
    (lengthUm / 1e6) * scrapMicroPerM(costs, drum.cable)
  const gainMicro = worth(catalog, drum, stretch) - costMicro
  return gainMicro > 0 ? { putup: putup.putup, gainMicro } : null
}

/** What lies before a wanted piece: wound off where that pays, else scrap. */
function between(catalog: Catalog, drum: ShelfDrum, line: RewindingLine | null, gap: Stretch): Interval[] {
  const intervals: Interval[] = []
  let atUm = gap.fromUm
  const scrapTo = (toUm: number) => {
    if (toUm > atUm)
      intervals.push({ fromUm: atUm, toUm, use: 'scrap', cause: cause(drum, { fromUm: atUm, toUm }) })
    atUm = Math.max(atUm, toUm)
  }
  for (const stretch of drum.usable.clean) {
    const fromUm = Math.max(stretch.fromUm, gap.fromUm)
    const toUm = Math.min(stretch.toUm, gap.toUm)
    if (toUm <= fromUm) continue
    const off = windOff(catalog, drum, line, { fromUm, toUm })
    if (!off) continue
    scrapTo(fromUm)
    intervals.push({ fromUm, toUm, use: 'remnant', putup: off.putup })
    atUm = toUm
  }
  scrapTo(gap.toUm)
  return intervals
}

function cause({ usable }: ShelfDrum, scrap: Stretch): string {
  const zone = usable.zones.find((z) => z.fromUm < scrap.toUm && z.toUm > scrap.fromUm)
  return zone ? `fault ${zone.fault.fault}` : 'not wanted'
}

/** The innermost rest: left on the drum, wound off or scrapped, whichever is worth most. */
function rest(catalog: Catalog, drum: ShelfDrum, line: RewindingLine | null, fromUm: number): Interval[] {
  const { usable, cable } = drum
  const { costs } = catalog.input
  const all = { fromUm, toUm: usable.lengthUm }
  const lengthUm = all.toUm - fromUm
  const burden =
    line !== null && usable.drum.kind === 'process_drum' && lengthUm < SHORT_REST_UM
      ? windOffMicro(line, costs, lengthUm)
      : 0
  const stayMicro = worth(catalog, drum, all) - burden
  const scrapMicro = (lengthUm / 1e6) * scrapMicroPerM(costs, cable)
  const off = between(catalog, drum, line, { fromUm, toUm: Math.max(fromUm, usable.good.toUm) })
  const offMicro = off
    .filter((i) => i.use === 'remnant')
    .reduce((sum, i) => sum + (windOff(catalog, drum, line, i)?.gainMicro ?? 0), scrapMicro)
  if (stayMicro >= offMicro) return [{ ...all, use: 'remnant', putup: null }]
  const atUm = off.at(-1)?.toUm ?? fromUm
  return usable.lengthUm > atUm ? [...off, { fromUm: atUm, toUm: usable.lengthUm, use: 'end' }] : off
}
