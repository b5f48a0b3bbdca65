import { useMemo } from 'react'
import { type DueGroup, dueGroups, type SetupGroup } from '../../lead/job-groups.ts'
import type { OrderLine } from '../../order/order-line.ts'
import { day, many } from '../format.ts'
import { wantedText } from '../orders/wanted-text.ts'
import type { BenchWorks } from './bench-works.ts'
import { JobView } from './job-view.tsx'
import { useKept } from './kept.ts'

const NO_JOB = ''

/** Leads by due date and set-up; one of them as a job. */
export function TodayView({ bench }: { bench: BenchWorks }) {
  const { works } = bench
  const [job, keep] = useKept('job', NO_JOB)
  const groups = useMemo(() => dueGroups(works.orders, works.connectors, works.site.works.todayDate), [works])
  const lines = useMemo(() => new Map(works.orders.map((o) => [`${o.order}/${o.line}`, o])), [works])
  const line = lines.get(job)
  if (line) return <JobView bench={bench} line={line} onBack={() => keep(NO_JOB)} />
  if (groups.length === 0)
    return (
      <p className="sentence">
        <strong>No leads are ordered.</strong> An order line of kind lead with two connectors appears here.
      </p>
    )
  return (
    <>
      <TodaySentence groups={groups} todayDate={works.site.works.todayDate} />
      {groups.map((group) => (
        <section key={group.dueDate} className="stack" aria-label={`Due ${day(group.dueDate)}`}>
          <h2>
            Due {day(group.dueDate)}
            {group.today && ' · to be made today'}
          </h2>
          {group.setups.map((setup) => (
            <Setup
              key={`${setup.cable} ${setup.connA} ${setup.connB}`}
              setup={setup}
              lines={lines}
              onJob={(key) => {
                keep(key)
                window.scrollTo(0, 0)
              }}
            />
          ))}
        </section>
      ))}
    </>
  )
}

function TodaySentence({ groups, todayDate }: { groups: DueGroup[]; todayDate: string }) {
  const due = groups.filter((group) => group.today || group.dueDate <= todayDate)
  const setups = due.flatMap((group) => group.setups)
  const pieces = setups.reduce((sum, setup) => sum + setup.pieces, 0)
  const all = groups.flatMap((group) => group.setups).reduce((sum, setup) => sum + setup.pieces, 0)
  return (
    <p className="sentence">
      <strong>
        {pieces === 0 ? 'No lead must be made today' : `${many(pieces, 'lead')} to be made today`}
      </strong>
      {pieces > 0 && ` in ${many(setups.length, 'set-up')}`}, of {many(all, 'lead')} ordered.
    </p>
  )
}

interface SetupProps {
  setup: SetupGroup
  lines: Map<string, OrderLine>
  onJob: (key: string) => void
}

function Setup({ setup, lines, onJob }: SetupProps) {
  const { cable, connA, connB, diesMm, pieces, fittingMinutes } = setup
  const ends = connA === connB ? `${connA} on both ends` : `${connA} and ${connB}`
  const dies = diesMm.length === 0 ? 'no die' : `die ${diesMm.join(' and ')} mm`
  return (
    <div className="setup">
      <p className="wraps">
        <strong>
          {cable}, {ends}
        </strong>{' '}
        · {dies} · {many(pieces, 'lead')} · about {Math.ceil(fittingMinutes)} min fitting
      </p>
      <ul className="jobs">
        {setup.lines.map(({ order, line, qty }) => {
          const key = `${order}/${line}`
          const of = lines.get(key)
          return (
            <li key={key}>
              <button type="button" className="button job-button" onClick={() => onJob(key)}>
                <strong>{key}</strong>
                <span className="wraps">{of ? `${wantedText(of)} · ${of.customer}` : many(qty, 'lead')}</span>
              </button>
            </li>
          )
        })}
      </ul>
    </div>
  )
}
