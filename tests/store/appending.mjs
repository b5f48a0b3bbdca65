// Books as fast as it can and says what was acknowledged, one key a line, until it is killed or the disk is full:
//   node appending.mjs DATA_FOLDER WORKS_JSON ROUND
// Plain JavaScript, as built: a process of its own that can be killed at any moment.
import { readFileSync, writeSync } from 'node:fs'
import { appendCommands } from '../../dist/store/ledger-append.js'
import { openStore } from '../../dist/store/open-store.js'
import { storeFailure } from '../../dist/store/store-failure.js'

const [folder, worksFile, round] = process.argv.slice(2)
const works = JSON.parse(readFileSync(worksFile, 'utf8'))
const { db } = await openStore(folder, null)
const free = works.drums.filter((drum) => drum.status === 'free')
const line = works.site.lines[0].id
const at = '2031-03-03T06:00:00.000Z'

function body(n) {
  const { drum } = free[n % free.length]
  if (n === 0) return { kind: 'mount-drum', drum: free[0].drum, line, mounting: null }
  if (n % 3 === 0) return { kind: 'move-drum', drum, place: `P${n}` }
  const measuredUm = 10_000 + (n % 7) * 1_000
  const piece = {
    order: null,
    orderLine: null,
    piece: null,
    part: null,
    count: 1,
    putup: null,
    counterM: null,
  }
  const marks = { markOuter: null, markInner: null, inspection: 'as shown' }
  const pieces = [{ ...piece, ...marks, measuredUm, uncUm: 100, trimUm: 0 }]
  return { kind: 'cut-pieces', drum: free[0].drum, line, mounting: null, pieces }
}

for (let n = 0; ; ) {
  const group = Array.from({ length: 1 + (n % 8) }, () => {
    const command = { key: `r${round}-${n}`, at, station: 'T1', planId: null, corrects: null, body: body(n) }
    n += 1
    return { command, actor: 'anna' }
  })
  try {
    const context = { works, today: '2031-03-03', bookedAt: new Date().toISOString() }
    const outcomes = await appendCommands(db, group, context)
    const keys = outcomes.flatMap((outcome) => ('event' in outcome ? [outcome.event.key] : []))
    if (keys.length > 0) writeSync(1, `${keys.join('\n')}\n`)
  } catch (error) {
    const { code, message } = storeFailure(error)
    writeSync(1, `failed ${code} ${message}\n`)
    process.exit(3)
  }
}
