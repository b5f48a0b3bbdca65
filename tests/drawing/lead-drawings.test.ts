import { beforeAll, describe, expect, it } from 'vitest'
import { chainDrawing } from '../../src/drawing/chain-drawing.ts'
import { lossChart } from '../../src/drawing/chart-loss.ts'
import type { RectShape } from '../../src/drawing/shape.ts'
import { chainOf } from '../../src/lead/chain.ts'
import { chainLoss } from '../../src/lead/chain-loss.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { parseWorks } from '../../src/works/parse-works.ts'
import type { Works } from '../../src/works/works.ts'

let works: Works
beforeAll(async () => {
  const { files } = await readWorksFolder('demo/kelderwick')
  const result = parseWorks('kelderwick', files)
  if (!result.ok) throw new Error(JSON.stringify(result.problems[0]))
  works = result.works
})

function chainOfLength(lengthM: number) {
  const cable = works.cables.find((c) => c.cable === 'C059-50')!
  const a = works.connectors.find((c) => c.part === 'N-C-059')!
  const chain = chainOf({ cable, attenuation: works.attenuation, lengthM, tempC: 20, a, b: a })
  const load = { fMhz: 144, vswr: 1.5 }
  return { chain, load, loss: chainLoss(chain, load, null) }
}

const rects = (shapes: { kind: string }[]) => shapes.filter((s): s is RectShape => s.kind === 'rect')

describe('a chain to scale', () => {
  it('gives a connector its share of a short lead', () => {
    const { chain, load, loss } = chainOfLength(0.1)
    const { shapes } = chainDrawing(chain, load, loss, { width: 1000, textSize: 14 })
    const [cable, a, b] = rects(shapes)
    const inside = chain.a!.tipToCableEndMm
    expect(a!.width / cable!.width).toBeCloseTo(inside / 100, 6)
    expect(b!.width).toBeCloseTo(a!.width, 6)
  })
})

describe('loss over frequency', () => {
  it('draws no line beyond where the figures hold', () => {
    const { chain, load, loss } = chainOfLength(30)
    const drawing = lossChart(chain, load, loss, { width: 1000, height: 360, textSize: 14 })
    const beyond = rects(drawing.shapes).find((s) => s.fill === 'dots')!
    for (const shape of drawing.shapes)
      if (shape.kind === 'polyline' && shape.points.length > 20)
        expect(Math.max(...shape.points.map(([x]) => x))).toBeLessThanOrEqual(beyond.x + 1e-6)
    expect(drawing.list.at(-1)!.text).toContain(loss.validToEndedBy)
  })
})
