import type { CheckKind } from '../ledger/check-kind.ts'
import { tapeReadings } from '../ledger/counters-now.ts'
import { MAX_RECALLED } from '../ledger/recall.ts'
import type { CheckRow, DrumRow, PieceRow } from '../ledger/state-rows.ts'
import { sparkCheckPassed } from '../line/spark-check.ts'
import { counterReadings } from '../measure/counter-reading.ts'
import { checkDays } from '../measure/look-back.ts'
import { LastmetreError } from '../quantity/errors.ts'
import {
  checkOf,
  checkRows,
  drumsOf,
  eventsOfKind,
  piecesOfTool,
  piecesOnLine,
  stripRows,
  type TimeWindow,
} from '../store/record-queries.ts'
import type { Touched } from './record-touched.ts'
import type { RecordWorks } from './record-works.ts'

/** What a check that failed makes suspect: all that was made by that line or tool since its last good check, until the next good one. */
export async function suspectsOfCheck(works: RecordWorks, id: string): Promise<Touched> {
  const check = await checkOf(works.db, id)
  if (!check) throw new LastmetreError('unknown-id', `The ledger has no check ${id}.`)
  const { what, subject, passed, cable } = check
  const of = cable === undefined ? `${what} ${subject}` : `${cable} with ${what} ${subject}`
  const said = `check ${id} of ${of}, ${works.days.dayOf(check.at)}`
  if (passed) return { because: [`${said}: passed, so nothing is suspect`], pieces: [], drums: [] }
  const own = (await checkRows(works.db, what, cable === undefined ? subject : null)).filter(
    (c) => c.passed && c.cable === cable,
  )
  const lastGood = own.findLast((c) => c.at < check.at) ?? null
  const nextGood = own.find((c) => c.at > check.at) ?? null
  const written = lastGood || cable !== undefined ? null : lastGoodInFolder(works, what, subject)
  const window = { since: lastGood?.at ?? null, until: nextGood?.at ?? null }
  const since = lastGood
    ? `since the good check ${lastGood.check} of ${works.days.dayOf(lastGood.at)}`
    : written
      ? `since the good check of ${written} in the works folder`
      : 'no good check before it is on record: everything since the ledger began'
  const until = nextGood ? [`until the good check ${nextGood.check}`] : []
  const found =
    cable === undefined
      ? await suspects(works, what, subject, window)
      : await bookedBy(works, what === 'tape' ? 'marks' : 'weight', cable, window)
  return {
    ...found,
    pieces: written ? found.pieces.filter((p) => works.days.dayOf(p.at) >= written) : found.pieces,
    because: [`${said}: failed; ${[since, ...until].join(', ')}`, ...found.because],
  }
}

/** Every piece that a tool, instrument or line had in hand. `since`: a date or an instant; null: ever. */
export async function suspectsOfTool(
  works: RecordWorks,
  tool: string,
  since: string | null,
): Promise<Touched> {
  const window = { since, until: null }
  const byTool = await piecesOfTool(works.db, tool, window, MAX_RECALLED + 1)
  const byLine = await piecesOnLine(works.db, tool, window, MAX_RECALLED + 1)
  const when = since === null ? 'ever' : `since ${since}`
  return {
    because: [`everything that ${tool} had in hand, ${when}`],
    pieces: [...byTool, ...byLine],
    drums: [],
  }
}

/** Good checks that only the works folder knows: days of tape checks and of the artificial fault. */
function lastGoodInFolder({ loaded }: RecordWorks, what: CheckKind, subject: string): string | null {
  const { works, more } = loaded
  if (what === 'spark tester')
    return (
      (more.line.sparkChecks ?? [])
        .filter((c) => c.line === subject && sparkCheckPassed(c))
        .map((c) => c.at)
        .sort()
        .at(-1) ?? null
    )
  const line = works.site.lines.find((l) => l.id === subject)
  if (what !== 'counter' || !line) return null
  const { readings } = counterReadings(subject, works.counterChecks)
  return checkDays(readings, 0, line.counter.claimedErrorRatio).findLast((d) => d.good)?.date ?? null
}

async function suspects(
  works: RecordWorks,
  what: CheckKind,
  subject: string,
  window: TimeWindow,
): Promise<Touched> {
  switch (what) {
    case 'counter':
      return {
        because: [],
        pieces: await piecesOnLine(works.db, subject, window, MAX_RECALLED + 1),
        drums: [],
      }
    case 'spark tester':
      return {
        because: [],
        pieces: await piecesOnLine(works.db, subject, window, MAX_RECALLED + 1),
        drums: whole(await woundOff(works, subject, window)),
      }
    case 'tape':
      return byTape(works, subject, window)
    case 'scale':
      return {
        because: ['no record names the scale: every drum that was weighed in that time is listed'],
        pieces: [],
        drums: whole(await weighed(works, window)),
      }
    default:
      return {
        because: [],
        pieces: await piecesOfTool(works.db, subject, window, MAX_RECALLED + 1),
        drums: [],
      }
  }
}

const whole = (drums: DrumRow[]) => drums.map((drum) => ({ drum, bad: null }))

/** Remnants that were wound off on a line passed its tester too. */
async function woundOff(works: RecordWorks, line: string, window: TimeWindow): Promise<DrumRow[]> {
  const events = await eventsOfKind(works.db, 'remnant-wound-off', window)
  const drums = events.flatMap(({ body }) =>
    body.kind === 'remnant-wound-off' && body.line === line ? [body.newDrum] : [],
  )
  return drumsOf(works.db, drums)
}

async function weighed(works: RecordWorks, window: TimeWindow): Promise<DrumRow[]> {
  const events = [
    ...(await eventsOfKind(works.db, 'drum-weighed', window)),
    ...(await eventsOfKind(works.db, 'drum-received', window)),
  ]
  const drums = events.flatMap(({ body }) =>
    body.kind === 'drum-weighed' || (body.kind === 'drum-received' && body.lengthHow === 'weight')
      ? [body.drum]
      : [],
  )
  return drumsOf(works.db, drums)
}

/** A bad tape makes the counter checks suspect that were made with it, and with them what those counters measured from then on. */
async function byTape(works: RecordWorks, tape: string, window: TimeWindow): Promise<Touched> {
  const checks = (await checkRows(works.db, 'counter')).filter(
    (c) =>
      (window.since === null || c.at >= window.since) &&
      (window.until === null || c.at <= window.until) &&
      tapeReadings(c.figures).some((reading) => reading.tape === tape),
  )
  const first = new Map<string, CheckRow>()
  for (const check of checks) if (!first.has(check.subject)) first.set(check.subject, check)
  const pieces: PieceRow[] = []
  for (const [line, { at }] of first)
    pieces.push(...(await piecesOnLine(works.db, line, { since: at, until: window.until }, MAX_RECALLED + 1)))
  const named = checks.map((c) => `${c.check} of ${c.subject}`).join(', ')
  return {
    because: [
      checks.length === 0
        ? `no counter check of that time names the tape ${tape}`
        : `with the tape ${tape} these counter checks are suspect: ${named}`,
    ],
    pieces,
    drums: [],
  }
}

/** A type whose marks or mass are off: every drum of it whose length was booked by them. */
async function bookedBy(
  { db }: RecordWorks,
  how: 'marks' | 'weight',
  cable: string,
  window: TimeWindow,
): Promise<Touched> {
  const received = await eventsOfKind(db, 'drum-received', window)
  const measured = await eventsOfKind(db, 'rest-measured', window)
  const names = [...received, ...measured].flatMap(({ body }) =>
    (body.kind === 'drum-received' && body.lengthHow === how) ||
    (body.kind === 'rest-measured' && body.how === how)
      ? [body.drum]
      : [],
  )
  const drums = await drumsOf(db, names)
  const strips = await stripRows(
    db,
    drums.map((d) => d.strip),
  )
  const ofType = new Set(strips.filter((s) => s.cable === cable).map((s) => s.strip))
  return {
    because: [`drums of ${cable} whose length was booked by their ${how} in that time`],
    pieces: [],
    drums: whole(drums.filter((d) => ofType.has(d.strip))),
  }
}
