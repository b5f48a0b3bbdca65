import { lineSettings, prepareMountings } from '../src/line/line-settings.ts'
import { longestFirstBestFit } from './baselines/best-fit.ts'
import { keepResult, markdownTable } from './measured.ts'
import { worksOf } from './works-of.ts'

/** Time of the line sheet: all mountings of a plan, and one after an input was changed by hand. */

const works = await worksOf('kelderwick')
const { mountings } = longestFirstBestFit(works)

/** Time on the processor, so that what else the machine does is not counted. */
function millis(work: () => unknown): number {
  const before = process.cpuUsage()
  work()
  const { user, system } = process.cpuUsage(before)
  return (user + system) / 1000
}

const firstMs = millis(() => lineSettings(works, mountings))
const allMs = Array.from({ length: 50 }, () => millis(() => lineSettings(works, mountings))).sort(
  (a, b) => a - b,
)
const prepared = prepareMountings(works, mountings)
const oneMs = prepared
  .flatMap(({ settings }) =>
    [120, 110, 100, 90].map((speedMaxMPerMin) =>
      millis(() => settings({ speedMaxMPerMin, takeupBarrelMm: 200 })),
    ),
  )
  .sort((a, b) => a - b)
const cuts = prepared.reduce((sum, p) => sum + p.settings({}).presets.length, 0)
const at = (sorted: number[], share: number) =>
  sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!.toFixed(2)

keepResult(
  'line.md',
  'Line sheet',
  markdownTable(
    ['what', 'first CPU ms', 'median', '95 %', 'worst', 'target'],
    [
      [
        `all ${prepared.length} line mountings of the demo, ${cuts} cuts`,
        firstMs.toFixed(2),
        at(allMs, 0.5),
        at(allMs, 0.95),
        at(allMs, 1),
        50,
      ],
      ['one mounting, an input changed', '–', at(oneMs, 0.5), at(oneMs, 0.95), at(oneMs, 1), 50],
    ],
  ),
)
