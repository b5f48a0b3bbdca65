import type { ToolKind } from '../lead/tool.ts'
import type { CheckKind } from '../ledger/check-kind.ts'
import { type DoneCheck, type DueSubject, dueCalendar, VALID_FOR } from '../ledger/due.ts'
import type { CheckRow } from '../ledger/state-rows.ts'
import { sparkCheckPassed } from '../line/spark-check.ts'
import { counterReadings } from '../measure/counter-reading.ts'
import { checkDays } from '../measure/look-back.ts'
import { checkRows } from '../store/record-queries.ts'
import type { DueAnswer } from '../works/records-api.ts'
import type { LoadedMore } from './kept-more.ts'
import type { RecordWorks } from './record-works.ts'

/** The calendar of everything that must be checked. */
export async function dueOf(works: RecordWorks): Promise<DueAnswer> {
  const { loaded, days } = works
  // a check of a cable type's marks or mass says nothing of the tape or the scale that it was done with
  const recorded = (await checkRows(works.db, null)).filter((c) => c.cable === undefined)
  const done = [...doneInFolder(loaded), ...recorded.map((c) => doneAs(c, days.dayOf(c.at)))]
  const intervals = loaded.more.checks.checkIntervals ?? []
  return { today: days.today, items: dueCalendar(subjectsOf(loaded), intervals, done, days.today) }
}

function doneAs({ what, subject, passed, check, figures }: CheckRow, date: string): DoneCheck {
  const validDays = figures.find((f) => f.quantity === VALID_FOR)?.value ?? null
  return { what, subject, date, passed, check, validDays }
}

/** Tape checks by day, good where the mean error lies within what the counter is claimed to err; checks with the artificial fault. */
function doneInFolder({ works, more }: LoadedMore): DoneCheck[] {
  const counters = works.site.lines.flatMap(({ id, counter }) =>
    checkDays(counterReadings(id, works.counterChecks).readings, 0, counter.claimedErrorRatio).map((d) => ({
      ...{ what: 'counter' as const, subject: id, date: d.date, check: null, validDays: null },
      // read to learn the error, which the preset takes out: a day beyond the claim is no failed counter by itself
      passed: true,
    })),
  )
  const sparks = (more.line.sparkChecks ?? []).map((c) => ({
    ...{
      what: 'spark tester' as const,
      subject: c.line,
      date: c.at.slice(0, 10),
      check: null,
      validDays: null,
    },
    passed: sparkCheckPassed(c),
  }))
  return [...counters, ...sparks]
}

const TOOL_CHECKS: Partial<Record<ToolKind, CheckKind>> = { die: 'die', wrench: 'wrench' }

function subjectsOf({ works, more }: LoadedMore): DueSubject[] {
  const counters = works.site.lines.map(({ id, counter }): DueSubject => {
    const seal = more.records.seals?.find((s) => s.line === id)
    const dueDate = seal?.verificationDueDate ?? null
    const dated =
      dueDate === null
        ? null
        : { task: 'verification' as const, doneDate: seal?.verifiedDate ?? null, dueDate }
    return { what: 'counter', subject: id, name: counter.kind, dated }
  })
  const sparks = works.site.lines.map(
    ({ id, spark }): DueSubject => ({ what: 'spark tester', subject: id, name: spark.kind, dated: null }),
  )
  const tools = (more.bench.tools ?? []).map(
    ({ tool, kind, what, calibrationDueDate: dueDate }): DueSubject => ({
      ...{ what: TOOL_CHECKS[kind] ?? 'other tool', subject: tool, name: what },
      dated: dueDate === null ? null : { task: 'calibration', doneDate: null, dueDate },
    }),
  )
  const kits = (more.lead.instruments ?? []).map(
    ({ instrument, what, calibratedDate, dueDate }): DueSubject => ({
      ...{ what: 'analyser kit', subject: instrument, name: what },
      dated: dueDate === null ? null : { task: 'calibration', doneDate: calibratedDate, dueDate },
    }),
  )
  return [...counters, ...sparks, ...kits, ...tools]
}
