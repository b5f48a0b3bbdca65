import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { Branching, DrumBranch } from './branching.ts'
import type { DrumModel } from './drum-model.ts'
import type { TypeInstance } from './instance.ts'
import { barestCutUm, type Item } from './item.ts'

/** The least length of drum that one piece takes, in one part or several. */
function leastOf(item: Item): number {
  if (item.split || item.loose) {
    const tolMinusPct = Math.max(...item.lines.map((l) => l.order.tolMinusPct ?? 0))
    return Math.floor(item.declaredUm * Math.min(item.leastShare, 1 - tolMinusPct / 100))
  }
  return item.shortest?.cutUm ?? barestCutUm(item)
}

/**
 * The least length that all pieces together take where no more than this is left unserved: what costs least for its length is
 * left out first, the last of it in part.
 */
export function leastTakenUm(items: Item[], unservedMicro: MicroEur): LengthUm {
  const tiers = items.flatMap((item) => {
    const lengthUm = leastOf(item)
    return item.tiers.map((t) => ({ ...t, lengthUm }))
  })
  tiers.sort((a, b) => b.lengthUm * a.weightMicro - a.lengthUm * b.weightMicro)
  let takenUm = 0
  let leftMicro = unservedMicro
  for (const { pieces, weightMicro, lengthUm } of tiers) {
    const without = weightMicro > 0 ? Math.min(pieces, leftMicro / weightMicro) : pieces
    leftMicro -= without * weightMicro
    takenUm += (pieces - without) * lengthUm
  }
  return Math.floor(takenUm)
}

/** All clean length of a drum that is good. */
export function cleanUm(model: DrumModel): LengthUm {
  return cleanBeforeUm(model, model.usable.good.toUm)
}

/** Clean length from the outer end up to a place. */
function cleanBeforeUm(model: DrumModel, placeUm: LengthUm): LengthUm {
  return model.usable.clean.reduce((sum, s) => sum + Math.max(0, Math.min(s.toUm, placeUm) - s.fromUm), 0)
}

/** How far inwards a drum must be cut to give so much clean length; Infinity where it has not got it. */
function reachUm(model: DrumModel, takenUm: LengthUm): LengthUm {
  let leftUm = takenUm
  if (leftUm <= 0) return 0
  for (const s of model.usable.clean) {
    if (leftUm <= s.toUm - s.fromUm) return s.fromUm + leftUm
    leftUm -= s.toUm - s.fromUm
  }
  return Number.POSITIVE_INFINITY
}

/**
 * What a node asks for, with what follows from the lengths: all that must be cut has to come from somewhere, so of each drum no
 * more can stay than the others leave over. null where the drums cannot give it. Without this the program would mix a drum
 * cut up with one left nearly whole, whose rest is worth more by the metre than any that there will be.
 */
export function withLeastTaken(
  instance: TypeInstance,
  branching: Branching,
  leastUm: LengthUm,
): Branching | null {
  const { drums } = instance
  const given = branching.drums.map((b, d) => mostGivenUm(drums[d]!, b))
  const allUm = given.reduce((a, b) => a + b, 0)
  if (allUm < leastUm) return null
  const tightened: DrumBranch[] = []
  for (const [d, branch] of branching.drums.entries()) {
    if (branch.mounted === false) {
      tightened.push(branch)
      continue
    }
    const model = drums[d]!
    const needUm = leastUm - (allUm - given[d]!)
    const cutToUm = reachUm(model, needUm)
    // a micrometre for what was rounded on the way
    const mostUm = Math.min(branch.range.mostUm, model.usable.good.toUm - cutToUm + 1)
    const spareUm = Math.min(branch.range.spareUm, cleanBeforeUm(model, model.usable.good.toUm) - needUm + 1)
    const { leastUm: restUm } = branch.range
    const mounted = needUm > 0 ? true : branch.mounted
    if (mostUm >= restUm) tightened.push({ ...branch, mounted, range: { leastUm: restUm, mostUm, spareUm } })
    else if (branch.mounted === true) return null
    else tightened.push({ ...branch, mounted: false })
  }
  return { ...branching, drums: tightened }
}

function mostGivenUm(model: DrumModel, { mounted, range }: DrumBranch): LengthUm {
  if (mounted === false) return 0
  return cleanBeforeUm(model, model.usable.good.toUm - range.leastUm)
}
