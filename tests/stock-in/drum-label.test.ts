import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { type DrumLabel, drumLabelPdf } from '../../src/documents/drum-label.ts'
import { decode, rasterOfPgm } from '../papers/decode.ts'

const label = (change: Partial<DrumLabel> = {}): DrumLabel => ({
  ...{
    drum: 'D050',
    cable: 'C081-50',
    lot: 'L081-3110A',
    length: '1000 m in the books',
    faults: '1 fault known',
  },
  ...{ marks: 'Marks: outer 3000.0 m, inner 2001.5 m', place: 'A12-3', held: null },
  ...{ works: 'Kelderwick Coaxial Works', printed: '2031-03-03 07:42 UTC', ...change },
})

test('letters that the typeface has not are refused, not printed as boxes', async () => {
  await expect(drumLabelPdf(label({ place: '棚' }))).rejects.toMatchObject({ code: 'text-not-printable' })
})

/** Longer than one line of the band, not than two. */
const LONG = `capacitance of the lot above its limit at three places, to be measured again by the laboratory ${'x'.repeat(25)}`

const poppler = spawnSync('pdftoppm', ['-v']).status === 0

test.skipIf(!poppler).each([
  { drum: 'D050', held: null },
  { drum: 'D051', held: LONG },
  { drum: 'D050-A-LONG-NUMBER.32', held: 'a lot that failed its tests, and a long story besides' },
])(
  'the barcode of $drum is read back at 203 dpi (skipped where there is no pdftoppm)',
  { timeout: 60_000 },
  async (change) => {
    const folder = mkdtempSync(join(tmpdir(), 'drum-label-'))
    try {
      writeFileSync(join(folder, 'label.pdf'), await drumLabelPdf(label(change)))
      execFileSync('pdftoppm', ['-gray', '-r', '203', '-singlefile', 'label.pdf', 'page'], { cwd: folder })
      expect(await decode(rasterOfPgm(readFileSync(join(folder, 'page.pgm'))))).toEqual([change.drum])
    } finally {
      rmSync(folder, { recursive: true })
    }
  },
)

test.skipIf(!poppler)(
  'all of a long reason is on it, in two lines (skipped where there is no pdftotext)',
  async () => {
    const folder = mkdtempSync(join(tmpdir(), 'drum-label-'))
    try {
      writeFileSync(join(folder, 'label.pdf'), await drumLabelPdf(label({ held: LONG })))
      const text = execFileSync('pdftotext', ['label.pdf', '-'], { cwd: folder, encoding: 'utf8' })
      expect(text.replace(/\s+/g, ' ')).toContain(`HOLD: ${LONG}`)
    } finally {
      rmSync(folder, { recursive: true })
    }
  },
)
