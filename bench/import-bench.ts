import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { readWorksFolder } from '../src/server/read-works-folder.ts'
import { openWorksDesk } from '../src/server/works-desk.ts'
import { openStore } from '../src/store/open-store.ts'
import type { Works } from '../src/works/works.ts'
import { worksFiles } from './generate/works-files.ts'
import { generateWorks, LARGE } from './generate-works.ts'
import { keepResult, markdownTable, peakMemoryMb } from './measured.ts'

/** Opening a works folder with 10 000 order lines: read, checked and stored. */

const LINES = 10_000

function manyOrders(): Works {
  const { works } = generateWorks(LARGE)
  const rounds = Math.ceil(LINES / works.orders.length)
  const orders = Array.from({ length: rounds }, (_, round) =>
    works.orders.map((line) => ({ ...line, order: `${round}-${line.order}` })),
  ).flat()
  return { ...works, orders: orders.slice(0, LINES) }
}

async function main(): Promise<void> {
  const place = mkdtempSync(join(tmpdir(), 'lastmetre-bench-'))
  try {
    for (const [name, text] of worksFiles(manyOrders())) writeFileSync(join(place, name), text)
    const startedMs = performance.now()
    const content = await readWorksFolder(place)
    const readMs = performance.now()
    const store = await openStore(join(place, 'data'))
    const desk = await openWorksDesk(store.db)
    const openMs = performance.now()
    const { works } = await desk.open(content)
    const storedMs = performance.now()
    await store.close()
    const seconds = (ms: number) => (ms / 1000).toFixed(2)
    const rows = [
      [
        works.orders.length,
        seconds(readMs - startedMs),
        seconds(openMs - readMs),
        seconds(storedMs - openMs),
        seconds(storedMs - startedMs),
        peakMemoryMb(),
      ],
    ]
    const header = ['order lines', 'read s', 'open database s', 'check and store s', 'all s', 'memory MB']
    keepResult('import.md', 'Opening a works folder', markdownTable(header, rows))
  } finally {
    rmSync(place, { recursive: true, force: true })
  }
}

await main()
