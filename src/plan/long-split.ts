import type { TypeInstance } from './instance.ts'
import { codesWhere, type DealtDrum } from './long-branch.ts'
import { childOf, type LongNode } from './long-node.ts'
import type { LongPieces } from './long-pieces.ts'
import type { DrumShare } from './long-prices.ts'
import { bit, has, MOST_PUTUPS } from './putup-bits.ts'

/** A way to split a node in two, and what it may gain, micro-euro: a guess. */
export interface LongSplit {
  gainMicro: number
  children: [LongNode, LongNode]
}

/** What it may gain that the longest piece is settled. */
const SETTLED_MICRO = 2_000_000
/** A share below this in a mixture is none. */
const NONE = 1e-3

/**
 * Ways to split a node where the best mixture of plans is no plan: what stays on a drum, whether a put-up is in use on it, how
 * many long pieces of a kind it gives. The most promising first.
 */
export function longSplits(
  instance: TypeInstance,
  node: LongNode,
  mixture: DrumShare[][],
  box: number,
): LongSplit[] {
  const splits = mixture.flatMap((all, d) => {
    const sum = all.reduce((a, { share }) => a + share, 0)
    const of = all.flatMap(({ drum, share }) => (share > NONE * sum ? [{ drum, share: share / sum }] : []))
    return [
      ...restSplits(instance, node, of, d, box),
      ...putupSplits(instance, node, of, d, box),
      ...countSplits(node.level.pieces, node, of, d, box),
    ]
  })
  return splits.sort((a, b) => b.gainMicro - a.gainMicro)
}

function shareOf(mixture: DrumShare[], is: (drum: DealtDrum) => boolean): number {
  return mixture.reduce((sum, { drum, share }) => sum + (is(drum) ? share : 0), 0)
}

/** A mixture of a long and a short rest counts as worth more than any one rest of that length. */
function restSplits(
  instance: TypeInstance,
  node: LongNode,
  mixture: DrumShare[],
  d: number,
  box: number,
): LongSplit[] {
  const { keptFromMicro, usable } = instance.drums[d]!
  const worthMicro = (restUm: number) => keptFromMicro(Math.max(0, Math.ceil(usable.good.toUm - restUm)))
  const meanUm = mixture.reduce((sum, { drum, share }) => sum + share * drum.restUm, 0)
  const few = shareOf(mixture, ({ restUm }) => restUm <= meanUm)
  if (Math.min(few, 1 - few) <= NONE) return []
  const meanMicro = mixture.reduce((sum, { drum, share }) => sum + share * worthMicro(drum.restUm), 0)
  const { range } = node.drums[d]!
  const atUm = Math.floor(meanUm)
  return [
    {
      gainMicro: Math.abs(meanMicro - worthMicro(meanUm)),
      children: [
        childOf(node, d, box, { idle: false, range: { ...range, mostUm: Math.min(range.mostUm, atUm) } }),
        childOf(node, d, box, { range: { ...range, leastUm: Math.max(range.leastUm, atUm) } }),
      ],
    },
  ]
}

/** A put-up that is in use in a part of a mixture is paid for in that part only. */
function putupSplits(
  instance: TypeInstance,
  node: LongNode,
  mixture: DrumShare[],
  d: number,
  box: number,
): LongSplit[] {
  const changeMicro = Math.max(...instance.drums[d]!.places.map((p) => p.changeMicro))
  const { putups } = node.drums[d]!
  const splits: LongSplit[] = []
  for (let p = 0; p < MOST_PUTUPS; p++) {
    if (has(putups.required | putups.barred, p)) continue
    const used = shareOf(mixture, (drum) => has(drum.putups, p))
    if (Math.min(used, 1 - used) <= NONE) continue
    splits.push({
      gainMicro: Math.min(used, 1 - used) * changeMicro,
      children: [
        childOf(node, d, box, { putups: { ...putups, barred: putups.barred | bit(p) } }),
        childOf(node, d, box, { idle: false, putups: { ...putups, required: putups.required | bit(p) } }),
      ],
    })
  }
  return splits
}

function countSplits(
  pieces: LongPieces,
  node: LongNode,
  mixture: DrumShare[],
  d: number,
  box: number,
): LongSplit[] {
  const longestUm = Math.max(1, ...pieces.kinds.map((k) => k.cutUm))
  const branch = node.drums[d]!
  return pieces.kinds.flatMap((kind) => {
    const counts = new Set(mixture.map(({ drum }) => pieces.countOf(drum.choice.code, kind)))
    return [...counts].flatMap((count): LongSplit[] => {
      const few = (code: number) => pieces.countOf(code, kind) <= count
      const below = shareOf(mixture, ({ choice }) => few(choice.code))
      if (Math.min(below, 1 - below) <= NONE) return []
      return [
        {
          gainMicro: (Math.min(below, 1 - below) * SETTLED_MICRO * kind.cutUm) / longestUm,
          children: [
            childOf(node, d, box, { codes: codesWhere(branch, few) }),
            childOf(node, d, box, { idle: false, codes: codesWhere(branch, (code) => !few(code)) }),
          ],
        },
      ]
    })
  })
}
