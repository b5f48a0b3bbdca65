import { useEffect, useRef, useState } from 'react'
import type { JobSheet } from '../../lead/job-sheet.ts'
import { figureText } from '../../quantity/length-text.ts'
import { type JobProgress, NOT_BEGUN, nextProgress, takenBack, wrongScan } from './job-progress.ts'
import { JobStepPicture } from './job-step-picture.tsx'
import { useKept } from './kept.ts'

const minutesText = (minutes: number) => `${figureText(minutes, 1)} min`

/** The steps one at a time, in letters for a gloved hand; Enter, a scan of the order line or a press goes on. */
export function JobSteps({ sheet, job }: { sheet: JobSheet; job: string }) {
  const [progress, keep] = useKept<JobProgress>(`steps ${job}`, NOT_BEGUN)
  const [scan, setScan] = useState('')
  const [wrong, setWrong] = useState<string | null>(null)
  const field = useRef<HTMLInputElement>(null)
  const panel = useRef<HTMLElement>(null)
  const { steps } = sheet
  const at = progress.minutes.length
  const step = steps[at]
  const runs = progress.startedMs !== null

  // the scanner types into what has the focus: it must land here from the start
  useEffect(() => field.current?.focus({ preventScroll: true }), [])

  function goOn(scanned: string) {
    setScan('')
    const not = wrongScan(scanned, job)
    setWrong(not)
    if (not === null) keep(nextProgress(progress, steps.length, Date.now()))
    field.current?.focus({ preventScroll: true })
    panel.current?.scrollIntoView({ block: 'start' })
  }

  return (
    <section className="stack step-now" ref={panel} aria-label="The step of now">
      <StepNow sheet={sheet} progress={progress} />
      <form
        className="step-bar"
        onSubmit={(event) => {
          event.preventDefault()
          goOn(scan)
        }}
      >
        <button
          type="button"
          className="button step-button"
          aria-disabled={at === 0 && !runs}
          onClick={() => keep(takenBack(progress))}
        >
          Back
        </button>
        <label className="field step-scan">
          <span className="label">Scan {job}, or Enter</span>
          <input
            ref={field}
            value={scan}
            autoComplete="off"
            spellCheck={false}
            onChange={(event) => setScan(event.target.value)}
          />
        </label>
        <button type="submit" className="main-action step-button" aria-disabled={!step}>
          {!step ? 'Done' : runs ? `Finish ${step.name}` : `Start ${step.name}`}
        </button>
      </form>
      {wrong && (
        <p className="banner bad wraps" role="alert">
          {wrong}
        </p>
      )}
      <StepList sheet={sheet} progress={progress} />
      <p className="small quiet">
        What is started and finished is kept on this page only, until it is closed: the ledger is still to
        come.
      </p>
    </section>
  )
}

interface StepProps {
  sheet: JobSheet
  progress: JobProgress
}

function StepNow({ sheet, progress }: StepProps) {
  const { steps } = sheet
  const at = progress.minutes.length
  const step = steps[at]
  if (!step)
    return (
      <div role="status" className="stack close">
        <h2 className="step-name">Finished</h2>
        <p className="step-what">
          All {steps.length} steps are done. Judge the measurements next, then print the certificates.
        </p>
      </div>
    )
  return (
    <>
      {step.dangers.length > 0 && <Dangers dangers={step.dangers} />}
      <div role="status" className="stack close">
        <p className="quiet">
          Step {at + 1} of {steps.length} · {progress.startedMs === null ? 'waits' : 'under way'}
        </p>
        <h2 className="step-name">{step.name}</h2>
        <p className="step-what wraps">{step.what}</p>
      </div>
      <JobStepPicture sheet={sheet} step={step} />
      <p className="quiet wraps">
        Place {step.bench ?? 'not known: no place of the works can do this'}
        {step.people.length > 0 && ` · ${step.people.join(', ')}`} · about {minutesText(step.minutes)}
        {step.minutesEach > 0 && ` (${minutesText(step.minutesEach)} each)`}
      </p>
    </>
  )
}

function Dangers({ dangers }: { dangers: string[] }) {
  return (
    <div className="banner bad">
      <p>
        <strong>Dangers of this step</strong>
      </p>
      <ul className="figure-list">
        {dangers.map((danger) => (
          <li key={danger}>{danger}</li>
        ))}
      </ul>
      <p className="small">The works’ own rules come first; a figure here is not permission to run.</p>
    </div>
  )
}

function StepList({ sheet: { steps }, progress: { minutes, startedMs } }: StepProps) {
  const at = minutes.length
  const state = (i: number, about: number) => {
    if (i < at) return `✓ done in ${minutesText(minutes[i] ?? 0)}`
    return i === at && startedMs !== null ? '▸ under way' : `about ${minutesText(about)}`
  }
  return (
    <ol className="step-list small">
      {steps.map((one, i) => (
        <li key={one.step} aria-current={i === at ? 'step' : undefined}>
          <strong>{one.name}</strong> {state(i, one.minutes)}
        </li>
      ))}
    </ol>
  )
}
