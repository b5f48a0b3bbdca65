import { mkdirSync, writeFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { parseArgs } from 'node:util'
import { worksFiles } from './generate/works-files.ts'
import { generateWorks, LARGE, TIGHT, type WorksWanted } from './generate-works.ts'

/**
 * Writes the works that plans are measured on as works folders, `out/tight` and `out/large`, to open or to judge.
 * With a folder and options it writes one of another seed and size:
 * `works-bench.js out/mine --seed 7 --types 5 --lines-per-type 20 --stock-ratio 1.1 --metres-per-line 200 --hopeless 2`
 */

function write(folder: string, wanted: WorksWanted): void {
  mkdirSync(folder, { recursive: true })
  const { works } = generateWorks({ ...wanted, folder: basename(folder) })
  for (const [name, text] of worksFiles(works)) writeFileSync(join(folder, name), text)
  process.stdout.write(`${folder}: ${works.drums.length} drums, ${works.orders.length} order lines\n`)
}

const number = { type: 'string' } as const
const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: {
    seed: number,
    types: number,
    'lines-per-type': number,
    'stock-ratio': number,
    'metres-per-line': number,
    hopeless: number,
  },
})
const [folder] = positionals
if (folder === undefined) {
  write(join('out', 'tight'), TIGHT)
  write(join('out', 'large'), LARGE)
} else {
  write(folder, {
    folder,
    seed: Number(values.seed ?? TIGHT.seed),
    types: Number(values.types ?? TIGHT.types),
    linesPerType: Number(values['lines-per-type'] ?? TIGHT.linesPerType),
    stockRatio: Number(values['stock-ratio'] ?? TIGHT.stockRatio),
    metresPerLine: Number(values['metres-per-line'] ?? TIGHT.metresPerLine),
    hopeless: Number(values.hopeless ?? TIGHT.hopeless),
  })
}
