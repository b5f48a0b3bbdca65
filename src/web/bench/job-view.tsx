import { useMemo } from 'react'
import { type LeadBatch, leadBatches } from '../../lead/batch.ts'
import { type JobSheet, jobSheet } from '../../lead/job-sheet.ts'
import type { OrderLine } from '../../order/order-line.ts'
import { LastmetreError } from '../../quantity/errors.ts'
import { figureText } from '../../quantity/length-text.ts'
import { count, day, many, percent, placeM } from '../format.ts'
import { wantedText } from '../orders/wanted-text.ts'
import { useWorks } from '../works-state.tsx'
import type { BenchWorks } from './bench-works.ts'
import { StripEnd, WholeLead } from './job-step-picture.tsx'
import { JobSteps } from './job-steps.tsx'
import { JobTables } from './job-tables.tsx'

function sheetOf({ works, answer }: BenchWorks, line: OrderLine): JobSheet | string {
  try {
    return jobSheet(works, answer.records, line)
  } catch (error) {
    if (error instanceof LastmetreError) return `${error.message} ${error.todo}`
    throw error
  }
}

/** One line of leads, from cutting to packing. */
export function JobView({ bench, line, onBack }: { bench: BenchWorks; line: OrderLine; onBack: () => void }) {
  const sheet = useMemo(() => sheetOf(bench, line), [bench, line])
  const job = `${line.order}/${line.line}`
  const back = (
    <button type="button" className="button" onClick={onBack}>
      ← All jobs
    </button>
  )
  if (typeof sheet === 'string')
    return (
      <section className="stack">
        {back}
        <p className="banner bad wraps" role="alert">
          <strong>{job} cannot be worked out.</strong> {sheet}
        </p>
      </section>
    )
  return (
    <>
      <section className="stack" aria-label={`Job ${job}`}>
        <div className="row">{back}</div>
        <p className="sentence wraps">
          <strong>
            {job}: cut {count(sheet.start.start)} × {figureText(sheet.cut.stopMm, 1)} mm
          </strong>{' '}
          of {line.cable} for {line.customer}: {wantedText(line)}, due {day(line.dueDate)}.
        </p>
      </section>
      <div className="job-body">
        <JobSteps sheet={sheet} job={job} key={job} />
        <section className="stack" aria-labelledby="ends-head">
          <h2>From where, and how many</h2>
          <p className="quiet">
            {many(line.qty, 'lead')} ordered; {count(sheet.start.start)} started make them whole with{' '}
            {percent(sheet.start.probability)} ({sheet.start.rate.from}). About {figureText(sheet.minutes, 0)}{' '}
            minutes.
          </p>
          <WhereFrom line={line} />

          <h2 id="ends-head">The two ends, to scale</h2>
          <p>
            To cut: {sheet.cut.says}. Length {sheet.line.lengthDefinition.replaceAll('_', ' ')}: −
            {figureText(sheet.cut.tolerance.minusMm, 1)} / +{figureText(sheet.cut.tolerance.plusMm, 1)} mm (
            {sheet.cut.tolerance.source}).
          </p>
          <WholeLead sheet={sheet} />
          <div className="two-ends">
            {(['A', 'B'] as const).map((end) => {
              const { part, plusMinusMm } = end === 'A' ? sheet.stripA : sheet.stripB
              return (
                <div key={end} className="stack close">
                  <h3>
                    End {end}: {part}, ± {plusMinusMm} mm
                  </h3>
                  <StripEnd sheet={sheet} end={end} />
                </div>
              )
            })}
          </div>
        </section>
      </div>
      <JobTables sheet={sheet} />
      <p>If one fails: {sheet.ifOneFails.says}.</p>
    </>
  )
}

/** The stretch of cable that the plan chose. */
function WhereFrom({ line }: { line: OrderLine }) {
  const { plan } = useWorks()
  const batches = useMemo(
    () =>
      plan ? leadBatches(plan.plan.mountings, (order, n) => order === line.order && n === line.line) : [],
    [plan, line],
  )
  if (!plan) return <p className="banner">From which drum: not planned yet. Plan the works first.</p>
  if (batches.length === 0) return <p className="banner">The newest plan cuts nothing for this line.</p>
  return (
    <ul className="figure-list">
      {batches.map((batch) => (
        <li key={`${batch.mounting} ${batch.fromUm}`}>{batchText(batch)}</li>
      ))}
      {plan.stale && <li>The works has changed since this plan was made: plan again.</li>}
    </ul>
  )
}

function batchText({ drum, cutBy, mounting, fromUm, toUm, pieces }: LeadBatch): string {
  return `${many(pieces, 'length')} from ${drum}, cut at ${cutBy} as mounting ${mounting}, ${placeM(fromUm)} to ${placeM(toUm)} m from the outer end`
}
