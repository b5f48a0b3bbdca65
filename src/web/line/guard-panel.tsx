import { useMemo, useState } from 'react'
import type { CounterReport } from '../../measure/counter-report.ts'
import { type ChangedCut, cutsChangedByGuard } from '../../measure/guard-change.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import { mFromUm } from '../../quantity/length.ts'
import { figureText } from '../../quantity/length-text.ts'
import { postJson } from '../api.ts'
import { many } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { Refusal } from '../parts/refusal.tsx'
import { useWorks } from '../works-state.tsx'
import { percentText } from './counter-text.ts'

interface Props {
  reports: CounterReport[]
  input: PlanInput
  version: number
}

/** A greater one is a slip of the pen. */
const MOST_PCT = 10

/** The guard that no piece of any line needs more than: by its rule, and by what the correction in force lags behind. */
function neededRatio(reports: CounterReport[]): { ratio: number; line: string } | null {
  const each = reports.flatMap(({ known, line }) =>
    known ? [{ ratio: known.guardRatio.none_short + Math.max(0, known.lagRatio ?? 0), line }] : [],
  )
  return each.reduce<(typeof each)[number] | null>(
    (most, g) => (most && most.ratio >= g.ratio ? most : g),
    null,
  )
}

/** Upwards: a guard is a need. */
function asPct(ratio: number): string {
  return String(Math.ceil(Math.max(0, ratio) * 1e5 - 1e-6) / 1e3)
}

function useAccepting(version: number) {
  const { refresh } = useWorks()
  const [busy, setBusy] = useState(false)
  const [error, setError] = useState<Error | null>(null)

  async function accept(lengthGuardRatio: number) {
    setBusy(true)
    setError(null)
    try {
      await postJson('/api/counter/guard', { version, lengthGuardRatio })
      await refresh()
    } catch (failure) {
      setError(failure as Error)
    }
    setBusy(false)
  }
  return { busy, error, accept }
}

/** One guard for the works, with the open cuts that another one changes, before it is accepted. */
export function GuardPanel({ reports, input, version }: Props) {
  const { plan, planned } = useWorks()
  const inForce = input.site.cutRules.lengthGuardRatio
  const needed = useMemo(() => neededRatio(reports), [reports])
  // until someone types, what the checks need
  const [own, setOwn] = useState<string | null>(null)
  const typed = own ?? asPct(needed?.ratio ?? inForce)
  const { busy, error, accept } = useAccepting(version)
  const pct = Number(typed.replace(',', '.'))
  const sound = typed.trim() !== '' && pct >= 0 && pct <= MOST_PCT
  const ratio = Number((pct / 100).toPrecision(12))
  const changed = useMemo(
    () =>
      sound && plan && planned
        ? cutsChangedByGuard(plan.plan.mountings, ratio, planned.input.site.cutRules)
        : [],
    [sound, plan, planned, ratio],
  )
  const same = sound && ratio === inForce

  return (
    <section className="stack what-if" aria-labelledby="guard-head">
      <h2 id="guard-head">Accept a guard</h2>
      <p className="wraps">
        In force for every bulk piece: <strong>{percentText(inForce)}</strong>.{' '}
        {needed
          ? `By the checks ${needed.line} needs most: ${percentText(needed.ratio)}, so that none is short with the correction in force.`
          : 'What is needed is not known: there are too few checks.'}
      </p>
      <form
        className="row filter"
        onSubmit={(event) => {
          event.preventDefault()
          if (sound && !same && !busy) void accept(ratio)
        }}
      >
        <div className="field">
          <label htmlFor="guard-pct">New guard, % of the length</label>
          <input
            id="guard-pct"
            inputMode="decimal"
            autoComplete="off"
            maxLength={12}
            value={typed}
            aria-invalid={!sound}
            onChange={(event) => setOwn(event.target.value)}
          />
        </div>
        <button type="submit" className="main-action" aria-disabled={!sound || same || busy}>
          {busy ? 'Storing …' : sound ? `Accept ${figureText(pct, 4)} %` : 'Accept'}
        </button>
      </form>
      <div role="status">
        {!sound && <p className="wrong">A guard is a figure from 0 to {MOST_PCT} %.</p>}
        {same && (
          <p>
            <strong>✓ This guard is in force.</strong>{' '}
            {plan?.stale && 'The plan is for the works as it was: plan again.'}
          </p>
        )}
        {sound && !same && <Follows changed={changed} planned={plan !== null} />}
      </div>
      {error && <Refusal error={error} />}
    </section>
  )
}

function Follows({ changed, planned }: { changed: ChangedCut[]; planned: boolean }) {
  if (!planned) return <p>No plan is made yet: the next one uses it.</p>
  const short = changed.filter((c) => c.missingUm > 0)
  return (
    <div className="stack close">
      <p className="wraps">
        {changed.length === 0
          ? 'No open cut of the plan changes.'
          : `It changes ${many(changed.length, 'open cut')} of the plan; ${many(short.length, 'of them lies', 'of them lie')} too short for it. The plan must be made again, and is marked so at once.`}
      </p>
      {changed.length > 0 && (
        <DataTable
          caption="Open cuts that change"
          columns={COLUMNS}
          rows={changed}
          keyOf={(c) => `${c.mounting}/${c.cut}`}
          pane
        />
      )}
    </div>
  )
}

const metres = (um: number) => mFromUm(um).toFixed(3)

const COLUMNS: Column<ChangedCut>[] = [
  {
    key: 'cut',
    head: 'Mounting, cut',
    track: '8rem',
    cell: (c) => (
      <strong>
        {c.mounting}, {c.cut}
      </strong>
    ),
  },
  {
    key: 'drum',
    head: 'Drum on line',
    track: 'minmax(0, 1fr)',
    cell: (c) => <span>{`${c.drum} on ${c.line}`}</span>,
  },
  {
    key: 'order',
    head: 'Order',
    track: 'minmax(0, 1fr)',
    cell: (c) => <span>{`${c.order}/${c.orderLine}`}</span>,
  },
  {
    key: 'declared',
    head: 'Declared, m',
    track: '7rem',
    number: true,
    cell: (c) => <span>{metres(c.declaredUm)}</span>,
  },
  {
    key: 'now',
    head: 'Lies with, m',
    track: '7rem',
    number: true,
    cell: (c) => <span>{metres(c.lengthUm)}</span>,
  },
  {
    key: 'needed',
    head: 'Needs, m',
    track: '7rem',
    number: true,
    cell: (c) => <span>{metres(c.neededUm)}</span>,
  },
  {
    key: 'missing',
    head: 'So',
    track: '9rem',
    number: true,
    cell: (c) => (
      <span className={c.missingUm > 0 ? 'wrong' : undefined}>
        {c.missingUm > 0 ? `${metres(c.missingUm)} too short` : `${metres(-c.missingUm)} too long`}
      </span>
    ),
  },
]
