import { useMemo, useState } from 'react'
import { type CounterReport, counterReport } from '../../measure/counter-report.ts'
import { counterQuestions } from '../../works/length-questions.ts'
import { Allowed } from '../access/allowed.tsx'
import { many } from '../format.ts'
import { ChecksIntake } from './checks-intake.tsx'
import { CounterCharts } from './counter-charts.tsx'
import { CounterGuards } from './counter-guards.tsx'
import { CounterSentence } from './counter-sentence.tsx'
import { CounterWatch } from './counter-watch.tsx'
import { GuardPanel } from './guard-panel.tsx'
import type { RecordedLines } from './line-records.ts'

/** The watch of every counter: can its figure be believed, and what follows where it cannot? */
export function CounterView({ lines }: { lines: RecordedLines }) {
  const questions = useMemo(() => counterQuestions(lines.works, lines.records), [lines])
  const reports = useMemo(() => questions.map(counterReport), [questions])
  const [chosen, setChosen] = useState<string | null>(null)
  const report = reports.find((r) => r.line === chosen) ?? firstToSee(reports)
  if (!report)
    return (
      <p className="sentence">
        <strong>No rewinding line.</strong> The works has none, so there is no counter to watch.
      </p>
    )
  const question = questions.find((q) => q.line === report.line)!
  return (
    <>
      <section className="stack" aria-label="The counters">
        <CounterSentence report={report} guardInForceRatio={question.guardInForceRatio} />
        <LineButtons reports={reports} line={report.line} onChoose={setChosen} />
        <CounterWatch report={report} claimedRatio={question.claimedErrorRatio} />
      </section>
      {report.known && (
        <>
          <CounterCharts
            report={report}
            known={report.known}
            checks={lines.works.counterChecks}
            today={question.today}
          />
          <CounterGuards known={report.known} question={question} markets={lines.works.markets} />
        </>
      )}
      <Allowed deed="change-works">
        <GuardPanel reports={reports} input={lines.works} version={lines.version} />
      </Allowed>
      <Allowed deed="record-check">
        <ChecksIntake input={lines.works} line={report.line} />
      </Allowed>
    </>
  )
}

/** The counter that most needs to be looked at. */
function firstToSee(reports: CounterReport[]): CounterReport | undefined {
  return reports.find((r) => r.lookBack.reason) ?? reports.find((r) => r.known?.signals.length) ?? reports[0]
}

function LineButtons(props: { reports: CounterReport[]; line: string; onChoose: (line: string) => void }) {
  return (
    <fieldset className="zoom line-buttons">
      <legend>Counter of</legend>
      {props.reports.map((r) => (
        <button
          key={r.line}
          type="button"
          className="button"
          aria-pressed={r.line === props.line}
          onClick={() => props.onChoose(r.line)}
        >
          {r.line} · {many(r.checks, 'check')}
          {r.lookBack.reason ? ' · cuts suspect' : r.known?.signals.length ? ' · signal' : ''}
        </button>
      ))}
    </fieldset>
  )
}
