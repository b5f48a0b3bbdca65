import type { RewindingLine } from '../../src/hall/rewinding-line.ts'
import type { Connector } from '../../src/lead/connector.ts'
import { leadCutUm } from '../../src/lead/cut-length.ts'
import { allowsFault } from '../../src/order/faults-allowed.ts'
import { UM_PER_FT, UM_PER_M } from '../../src/quantity/length.ts'
import type { Stretch, UsableDrum } from '../../src/strip/usable.ts'
import { type Draft, type DraftContext, fittingPutups, linesFor } from './drafts.ts'

/**
 * Cuts the stock of one cable into pieces before anybody orders them, so that every order line can be served:
 * drum after drum, clean stretch after clean stretch, each filled to the last short piece. What this leaves over
 * is the slack of the works.
 */
export interface HiddenWork extends DraftContext {
  connectors: Connector[]
  drums: UsableDrum[]
  drafts: Draft[]
  /** Where each drum is mounted in the hidden cutting. */
  lineOf: Map<string, string>
}

const BENCH = 'K1'
const THREADING_M = 2
const PASSES = 3

export function cleanUm(drums: UsableDrum[]): number {
  return drums
    .filter((d) => d.drum.status === 'free')
    .reduce((sum, d) => sum + d.clean.reduce((s, c) => s + c.toUm - c.fromUm, 0), 0)
}

/** Places pieces until `needUm` of cable is spoken for, or nothing fits any more. */
export function cutHidden(work: HiddenWork, needUm: number): void {
  const free = work.random.shuffled(work.drums.filter((d) => d.drum.status === 'free'))
  const ordered = [
    ...free.filter((d) => d.drum.kind === 'remnant'),
    ...free.filter((d) => d.drum.kind !== 'remnant'),
  ]
  const places = new Map(ordered.map((d) => [d, mountingPlace(work, d)]))
  let leftUm = needUm
  for (let pass = 0; pass < PASSES && leftUm > 0; pass++) {
    for (const [usable, place] of places) {
      if (place === null) continue
      work.lineOf.set(usable.drum.drum, place.id)
      for (const gap of gapsOf(work, usable))
        leftUm = fillGap({ ...work, usable, line: place.line }, gap, leftUm)
    }
    // what is still open is short: dealers order more leads and coils
    for (const draft of work.drafts)
      if (draft.group === null && draft.line.channel !== 'web' && draft.line.lengthUm < 30e6)
        draft.wanted = Math.min(100, 2 * draft.wanted)
  }
}

/** What of the clean stretches has no piece yet. */
function gapsOf({ drafts }: HiddenWork, usable: UsableDrum): Stretch[] {
  const cuts = drafts
    .flatMap((d) => d.cuts)
    .filter((c) => c.drum === usable.drum.drum)
    .sort((a, b) => a.fromUm - b.fromUm)
  return usable.clean.flatMap((stretch) => {
    const gaps: Stretch[] = []
    let atUm = stretch.fromUm
    for (const cut of cuts) {
      if (cut.fromUm < stretch.fromUm || cut.toUm > stretch.toUm) continue
      if (cut.fromUm > atUm) gaps.push({ fromUm: atUm, toUm: cut.fromUm })
      atUm = cut.toUm
    }
    if (stretch.toUm > atUm) gaps.push({ fromUm: atUm, toUm: stretch.toUm })
    return gaps
  })
}

function mountingPlace(
  { random, site, putups, cable }: HiddenWork,
  { drum }: UsableDrum,
): { id: string; line: RewindingLine | null } | null {
  const flangeMm = putups.find((p) => p.putup === drum.putup)?.flangeMm ?? 0
  const lines = linesFor(site, cable).filter(
    (l) =>
      drum.grossKg <= l.payoffMaxKg &&
      flangeMm <= l.payoffMaxDrumMm &&
      drum.bookUm / 1e6 >= l.dancer.storedM + l.spark.toCutterM + THREADING_M,
  )
  const bench = drum.kind === 'remnant' && drum.grossKg <= 25
  if (bench && (lines.length === 0 || random.chance(0.5))) return { id: BENCH, line: null }
  // the line with the longer take-up list two times out of three
  const wide = [...lines].sort((a, b) => b.takeupPutups.length - a.takeupPutups.length)[0]
  if (!wide) return null
  const line = random.chance(0.67) ? wide : random.pick(lines)
  return { id: line.id, line }
}

interface Filling extends HiddenWork {
  usable: UsableDrum
  line: RewindingLine | null
}

interface Fit {
  draft: Draft
  lengthUm: number
  declaredUm: number
  count: number
  putup: string | null
}

function fillGap(filling: Filling, gap: Stretch, budgetUm: number): number {
  const { random, usable } = filling
  let leftUm = budgetUm
  let atUm = gap.fromUm
  while (atUm < gap.toUm && leftUm > 0) {
    const roomUm = Math.min(gap.toUm - atUm, leftUm)
    const fits = filling.drafts.flatMap((draft) => fitOf(filling, draft, atUm, roomUm) ?? [])
    if (fits.length > 0) {
      const fit = chosen(random, fits)
      place(filling, fit, atUm)
      atUm += fit.lengthUm
      leftUm -= fit.lengthUm
      continue
    }
    // nothing may lie over the next soft zone: go on behind it, if there is one
    const zone = usable.zones.find(
      (z) => z.fault.severity !== 'cut_out' && z.toUm > atUm && z.fromUm < atUm + roomUm,
    )
    if (!zone) break
    atUm = zone.toUm
  }
  return leftUm
}

/** Long pieces are taken rather than short ones while there is room, lines without any piece rather than others. */
function chosen(random: Random, fits: Fit[]): Fit {
  const weights = fits.map((f) => f.lengthUm * (f.draft.cuts.length === 0 ? 6 : 1))
  let roll = random.next() * weights.reduce((a, b) => a + b, 0)
  for (const [i, fit] of fits.entries()) {
    roll -= weights[i]!
    if (roll < 0) return fit
  }
  return fits[fits.length - 1]!
}

type Random = DraftContext['random']

function fitOf(filling: Filling, draft: Draft, atUm: number, roomUm: number): Fit | null {
  const { line } = draft
  const { usable } = filling
  if (draft.group?.lot && draft.group.lot !== usable.drum.lot) return null
  const fit = line.kind === 'lead' ? fitLeads(filling, draft, roomUm) : fitBulk(filling, draft, roomUm)
  if (!fit) return null
  const touches = usable.zones.some(
    (z) => atUm < z.toUm && atUm + fit.lengthUm > z.fromUm && !allowsFault(line, z.fault),
  )
  return touches ? null : fit
}

function fitLeads({ site, connectors }: Filling, draft: Draft, roomUm: number): Fit | null {
  const { line } = draft
  const part = (id: string | null) => connectors.find((c) => c.part === id) ?? null
  const cutUm = leadCutUm(line.lengthUm, line.lengthDefinition, part(line.connA), part(line.connB))
  const eachUm = cutUm + site.cutRules.leadTrimUm
  const count = Math.min(draft.wanted - pieces(draft), Math.floor(roomUm / eachUm))
  return count < 1 ? null : { draft, lengthUm: count * eachUm, declaredUm: cutUm, count, putup: null }
}

function fitBulk(filling: Filling, draft: Draft, roomUm: number): Fit | null {
  const { site } = filling
  const { line } = draft
  if (filling.line === null) return null
  const mostUm = Math.floor((roomUm - site.cutRules.pieceTrimUm) / (1 + site.cutRules.lengthGuardRatio)) - 2
  let declaredUm = line.lengthUm
  if (!line.singleLength) {
    // parts in whole metres or feet until the piece is done; its ordered length is then what its parts add up to
    if (draft.cuts.length >= (line.maxParts ?? 1)) return null
    const openUm = line.lengthUm - draft.cuts.reduce((sum, c) => sum + c.declaredUm, 0)
    declaredUm = Math.floor(Math.min(mostUm, openUm) / wholeUm(line)) * wholeUm(line)
    if (declaredUm < (line.minPieceUm ?? 0) || declaredUm <= 0) return null
  } else {
    if (pieces(draft) >= draft.wanted) return null
    const leastUm = Math.ceil(line.lengthUm * (1 - (line.tolMinusPct ?? 0) / 100))
    if (mostUm < leastUm) return null
    declaredUm = Math.min(line.lengthUm, mostUm)
  }
  const putup = fittingPutups(filling, declaredUm / 1e6, line.market).find(
    (p) => filling.line!.takeupPutups.includes(p.putup) && (line.putup === null || line.putup === p.putup),
  )
  if (!putup) return null
  const lengthUm = Math.ceil(declaredUm * (1 + site.cutRules.lengthGuardRatio) + site.cutRules.pieceTrimUm)
  return { draft, lengthUm, declaredUm, count: 1, putup: putup.putup }
}

function place({ usable }: Filling, fit: Fit, atUm: number): void {
  if (fit.draft.group) fit.draft.group.lot = usable.drum.lot
  fit.draft.cuts.push({
    drum: usable.drum.drum,
    fromUm: atUm,
    toUm: atUm + fit.lengthUm,
    putup: fit.putup,
    count: fit.count,
    declaredUm: fit.declaredUm,
  })
}

/** One metre or one foot, as the line was typed. */
export function wholeUm(line: { unit: 'm' | 'ft' }): number {
  return line.unit === 'ft' ? UM_PER_FT : UM_PER_M
}

/** Pieces that have a place; the parts of a divided piece are one. */
export function pieces(draft: Draft): number {
  if (!draft.line.singleLength) return Math.min(1, draft.cuts.length)
  return draft.cuts.reduce((sum, c) => sum + c.count, 0)
}
