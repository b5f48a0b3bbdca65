import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { LedgerState } from '../src/ledger/state.ts'
import { loadWithMore, readWholeFolder } from '../src/server/kept-more.ts'
import { recallOf } from '../src/server/record-recall.ts'
import { traceOf } from '../src/server/record-trace.ts'
import { fitAhead, keptRecords, recordWorks } from '../src/server/record-works.ts'
import { replayLedger, verifyLedger } from '../src/store/ledger-verify.ts'
import { openStore } from '../src/store/open-store.ts'
import { type LoadResult, loadServer } from './ledger-load.ts'
import { makeYear } from './ledger-year.ts'
import { keepResult, markdownTable, peakMemoryMb } from './measured.ts'

/** `LEDGER_EVENTS`: fewer for a quick look. */
const EVENTS = Number(process.env.LEDGER_EVENTS ?? 1_000_000)
const LOAD = { stations: 20, rate: 5, seconds: Number(process.env.LEDGER_SECONDS ?? 60) }
const ASKED = 20

async function main(): Promise<void> {
  const loaded = loadWithMore(await readWholeFolder('demo/kelderwick'))
  const folder = await mkdtemp(join(tmpdir(), 'ledger-bench-'))
  try {
    const load = await loadServer(loaded.works, join(folder, 'load'), LOAD)
    const year = await measureYear(loaded, join(folder, 'year'))
    keepResult('ledger.md', 'The ledger', `${loadPage(load)}\n\n${year}`)
  } finally {
    await rm(folder, { recursive: true, force: true })
  }
}

async function measureYear(loaded: ReturnType<typeof loadWithMore>, folder: string): Promise<string> {
  const { db, close } = await openStore(folder, null)
  const { serial, lot } = await makeYear(db, loaded.works, EVENTS)
  const state = new LedgerState()
  const replayMs = await took(() => replayLedger(db, state))
  const verifyMs = await took(async () => {
    const { problems } = await verifyLedger(db)
    if (problems.length > 0) throw new Error(`the year does not verify: ${problems[0]}`)
  })
  const works = recordWorks(db, loaded, keptRecords(db), new Date().toISOString())
  // as a server does a second after it has started
  const aheadMs = await took(() => fitAhead(works))
  const traces: number[] = []
  const recalls: number[] = []
  for (let n = 0; n < ASKED; n++) {
    traces.push(await took(() => traceOf(works, serial)))
    recalls.push(await took(() => recallOf(works, { lot })))
  }
  await close()
  const range = (ms: number[]) =>
    `${ms[0]?.toFixed(1)} the first time, then ${Math.max(...ms.slice(1)).toFixed(1)} at most`
  return `${markdownTable(
    ['a year of events', 'measured', 'wanted'],
    [
      ['events', state.head.seq, EVENTS],
      ['replay from the events, s', (replayMs / 1_000).toFixed(1), '< 60'],
      ['verify: replay, and every row compared, s', (verifyMs / 1_000).toFixed(1), ''],
      ['counters fitted ahead, once at the start of a server, ms', aheadMs.toFixed(1), ''],
      ['trace of one serial, ms', range(traces), '< 50'],
      ['recall of a lot, ms', range(recalls), '< 500'],
      ['memory of the process, MB', peakMemoryMb(), ''],
    ],
  )}`
}

function loadPage({
  sent,
  acknowledged,
  refused,
  latenciesMs,
  lost,
  gaps,
  verified,
  planned,
}: LoadResult): string {
  const at = (share: number) => (latenciesMs[Math.floor(share * (latenciesMs.length - 1))] ?? 0).toFixed(1)
  return `${markdownTable(
    [
      `${LOAD.stations} stations, ${LOAD.rate} events/s each, ${LOAD.seconds} s, while a plan is made`,
      'measured',
      'wanted',
    ],
    [
      ['sent', sent, ''],
      ['acknowledged, on disk with fsync', acknowledged, ''],
      ['refused', refused, 0],
      ['median to the answer, ms', at(0.5), ''],
      ['99 % to the answer, ms', at(0.99), '< 50'],
      ['longest to the answer, ms', at(1), ''],
      ['acknowledged but lost', lost, 0],
      ['gaps in the numbers', gaps, 0],
      ['ledger verify', verified ? 'whole' : 'BROKEN', 'whole'],
    ],
  )}

The planner at the end: ${planned}. Times count from the moment an event was due, not from when it was sent.`
}

async function took(act: () => Promise<unknown>): Promise<number> {
  const startMs = performance.now()
  await act()
  return performance.now() - startMs
}

await main()
