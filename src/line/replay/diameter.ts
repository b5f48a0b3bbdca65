import { type Found, placeText } from './finding.ts'
import { type Places, seenByHead } from './place.ts'
import { robustSd, straightThrough } from './robust.ts'
import type { RunSetup } from './run-setup.ts'
import { blockMeans, stretches } from './stretches.ts'
import type { Timeline } from './timeline.ts'

export interface DiameterSummary {
  meanMm: number
  sdMm: number
  minMm: number
  maxMm: number
  maxOvalityMm: number
  /** Limits that were used: the type's diameter and its tolerance. */
  lowMm: number
  highMm: number
  /** Single samples over a limit, which are no finding: dirt, a drop of water, or a lump shorter than the record can tell. */
  singles: number
}

/** Samples that an excursion lasts at least (common practice: two, so that one wild reading is no lump). */
const LEAST_SAMPLES = 2
const BLOCK_SAMPLES = 50

/** Mean (x + y) / 2 and ovality |x − y| of a gauge with two axes: lumps, necks, oval stretches, and the trend along the strip. */
export function diameterFindings(
  { samples }: Timeline,
  places: Places,
  { line, cable }: RunSetup,
): { summary: DiameterSummary | null; findings: Found[] } {
  const means = samples.map((sample) => (sample.odXMm + sample.odYMm) / 2)
  const ovals = samples.map((sample) => Math.abs(sample.odXMm - sample.odYMm))
  const good = means.filter(Number.isFinite)
  if (good.length === 0) return { summary: null, findings: [] }
  const [lowMm, highMm] = [cable.odMm - cable.odTolMm, cable.odMm + cable.odTolMm]
  const scatterMm = robustSd(good)
  const findings: Found[] = []
  let singles = 0
  const tests = [
    ['lump', (i: number) => means[i]! > highMm],
    ['neck', (i: number) => means[i]! < lowMm],
    ['oval', (i: number) => ovals[i]! > 2 * cable.odTolMm && means[i]! <= highMm && means[i]! >= lowMm],
  ] as const
  for (const [kind, test] of tests)
    for (const { from, to, hits } of stretches(samples.length, test, 1)) {
      if (hits < LEAST_SAMPLES) {
        singles++
        continue
      }
      const place = seenByHead(places, from, to, line.diameterGauge.toCutterM)
      const worst = worstOf(kind === 'oval' ? ovals : means, from, to, kind === 'neck' ? -1 : 1)
      const oval = worstOf(ovals, from, to, 1)
      const size = kind === 'oval' ? worst : worst - cable.odMm
      const text = `${words(kind, place, worst, oval, kind === 'neck' ? lowMm : highMm, cable.odTolMm)}`
      const facts = { ...place, size, sizeUncertainty: 2 * scatterMm, unit: 'mm' as const, from, to }
      findings.push({ kind, severity: 'wrong', text, ...facts })
    }
  const trend = trendFinding(means, places, { line, cable }, lowMm, highMm)
  if (trend) findings.push(trend)
  const summary = {
    meanMm: good.reduce((sum, mean) => sum + mean, 0) / good.length,
    ...{
      sdMm: scatterMm,
      minMm: worstOf(good, 0, good.length - 1, -1),
      maxMm: worstOf(good, 0, good.length - 1, 1),
    },
    maxOvalityMm: worstOf(ovals, 0, ovals.length - 1, 1),
    ...{ lowMm, highMm, singles },
  }
  return { summary, findings }
}

function worstOf(values: number[], from: number, to: number, sign: number): number {
  let worst = Number.NEGATIVE_INFINITY
  for (let i = from; i <= to; i++) if (sign * values[i]! > worst) worst = sign * values[i]!
  return sign * worst
}

function words(
  kind: 'lump' | 'neck' | 'oval',
  { fromM, toM, placeUncertaintyM }: { fromM: number; toM: number; placeUncertaintyM: number },
  worstMm: number,
  ovalMm: number,
  limitMm: number,
  tolMm: number,
): string {
  const where = `${placeText(fromM, toM)} from the outer end, give or take ${placeUncertaintyM.toFixed(1)} m`
  if (kind === 'oval')
    return `Oval at ${where}: the axes differ by ${worstMm.toFixed(2)} mm, more than twice the tolerance of ${tolMm.toFixed(2)} mm.`
  const name = kind === 'lump' ? 'Lump' : 'Neck'
  return `${name} at ${where}: ${worstMm.toFixed(2)} mm where ${limitMm.toFixed(2)} mm is the limit, ovality ${ovalMm.toFixed(2)} mm.`
}

/** A slow change of diameter along the strip: the jacket changes, or the gauge gets dirty. */
function trendFinding(
  means: number[],
  places: Places,
  { line, cable }: Pick<RunSetup, 'line' | 'cable'>,
  lowMm: number,
  highMm: number,
): Found | null {
  const moving = (i: number) => i > 0 && places.atM[i]! > places.atM[i - 1]!
  const within = (i: number) => moving(i) && means[i]! >= lowMm && means[i]! <= highMm
  const { x, y } = blockMeans(
    means.length,
    BLOCK_SAMPLES,
    within,
    (i) => places.atM[i]!,
    (i) => means[i]!,
  )
  if (x.length < 4) return null
  const { slope, slopeError } = straightThrough(x, y)
  const spanM = x.at(-1)! - x[0]!
  const changeMm = slope * spanM
  // sure by four standard errors, and worth a word: a quarter of the tolerance
  if (!(Math.abs(slope) > 4 * slopeError) || Math.abs(changeMm) < cable.odTolMm / 4) return null
  const how = changeMm > 0 ? 'rises' : 'falls'
  const way = line.diameterGauge.toCutterM
  const text = `The diameter ${how} by ${Math.abs(changeMm).toFixed(3)} mm over ${spanM.toFixed(0)} m: wipe the gauge and look again; if it stays, it is the jacket.`
  const size = { size: changeMm, sizeUncertainty: 2 * slopeError * spanM, unit: 'mm' as const }
  return {
    ...{ kind: 'diameter-trend', severity: 'watch', text, from: 0, to: means.length - 1, ...size },
    ...{ fromM: x[0]! + way, toM: x.at(-1)! + way },
  }
}
