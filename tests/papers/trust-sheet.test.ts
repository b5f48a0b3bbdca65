import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import { trustSheetPdf } from '../../src/documents/trust-sheet.ts'
import { decode, rasterOfPgm } from './decode.ts'

const poppler = spawnSync('pdftoppm', ['-v']).status === 0

// the decoder is an independent one; 100 dpi is less than any camera that reads it off a wall
test.skipIf(!poppler)(
  'the code of a printed trust sheet leads to the page it names (skipped where there is no pdftoppm)',
  async () => {
    const folder = mkdtempSync(join(tmpdir(), 'lastmetre-trust-'))
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
    for (const trustPage of [
      'http://192.168.1.20:5180/',
      `http://${'a-very-long-name-of-a-hall.'.repeat(6)}kelderwick.example:5180/`,
    ]) {
      const pdf = await trustSheetPdf({
        trustPage,
        screens: 'https://192.168.1.20:5151/',
        fingerprint: Array.from({ length: 32 }, (_, i) => (i + 160).toString(16).toUpperCase()).join(':'),
        until: '2041-03-03',
      })
      writeFileSync(join(folder, 'sheet.pdf'), pdf)
      execFileSync('pdftoppm', ['-gray', '-r', '100', '-singlefile', 'sheet.pdf', 'page'], { cwd: folder })
      expect(await decode(rasterOfPgm(readFileSync(join(folder, 'page.pgm'))))).toEqual([trustPage])
    }
  },
)
