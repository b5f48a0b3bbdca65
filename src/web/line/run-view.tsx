import { useMemo, useState } from 'react'
import { type RunChart, runChart } from '../../drawing/chart-run.ts'
import { type ReplayedRun, replayRun } from '../../line/replay/run-analysis.ts'
import { type RunSetup, runSetup } from '../../line/replay/run-setup.ts'
import type { RunSample } from '../../line/run-sample.ts'
import { LastmetreError } from '../../quantity/errors.ts'
import { readRunRecord } from '../../works/run-record.ts'
import { Refused } from '../api.ts'
import { many } from '../format.ts'
import { TEXT_SIZE_PX } from '../parts/drawing-size.ts'
import { Figure } from '../parts/figure.tsx'
import { FileButton } from '../parts/file-button.tsx'
import { useFileDrop } from '../parts/file-drop.ts'
import { Near } from '../parts/near.tsx'
import { Refusal } from '../parts/refusal.tsx'
import type { RecordedLines } from './line-records.ts'
import { RunFindings } from './run-findings.tsx'
import { RunSentence } from './run-sentence.tsx'
import { TimeBar } from './time-bar.tsx'

interface Record {
  name: string
  samples: RunSample[]
}

interface Replayed {
  run: ReplayedRun
  setup: RunSetup
}

const MAX_FILE_BYTES = 20 * 1024 * 1024
const CHARTS: RunChart[] = ['uncounted', 'speed', 'tension', 'dancer', 'diameter', 'spark']

/** A record may hold one run after another: each is of one line and one cable. */
function runsOf(samples: RunSample[]): RunSample[][] {
  const runs: RunSample[][] = []
  for (const sample of samples) {
    const first = runs.at(-1)?.[0]
    if (first?.line === sample.line && first.cable === sample.cable) runs.at(-1)!.push(sample)
    else runs.push([sample])
  }
  return runs
}

function replayed({ works }: RecordedLines, samples: RunSample[]): Replayed {
  const setup = runSetup(works, samples[0]!)
  if (!setup) throw new LastmetreError('run-refused', 'The record names a line or a cable that there is not.')
  return { run: replayRun(samples, setup), setup }
}

function refused(error: LastmetreError): Refused {
  return new Refused({ code: error.code, message: error.message, todo: error.todo })
}

function useRecord(lines: RecordedLines) {
  const own = useMemo(
    () => ({ name: 'line_run.csv of the works', samples: lines.works.lineRun ?? [] }),
    [lines],
  )
  const [record, setRecord] = useState<Record>(own)
  const [error, setError] = useState<Error | null>(null)
  const [chosen, setChosen] = useState(0)

  async function read(file: File) {
    try {
      if (file.size > MAX_FILE_BYTES)
        throw new LastmetreError('too-large', `${file.name} has more than 20 MB.`)
      const answer = readRunRecord(file.name, new Uint8Array(await file.arrayBuffer()), lines.works)
      if (!answer.ok) {
        const message = `${file.name} is refused.`
        const todo = 'Mend the record; its columns and rules are those of line_run.csv.'
        throw new Refused({
          code: 'run-refused',
          message,
          todo,
          problems: answer.problems,
          more: answer.more,
        })
      }
      setError(null)
      setChosen(0)
      setRecord({ name: file.name, samples: answer.samples })
    } catch (failure) {
      setError(failure instanceof LastmetreError ? refused(failure) : (failure as Error))
    }
  }
  const back = () => {
    setChosen(0)
    setRecord(own)
  }
  return { own, record, error, chosen, setChosen, read, back }
}

/** A recorded run read back: the works' own, or one that is dropped. Nothing is stored. */
export function RunView({ lines }: { lines: RecordedLines }) {
  const { own, record, error, chosen, setChosen, read, back } = useRecord(lines)
  const over = useFileDrop((data) => {
    const file = data.files[0]
    if (file) void read(file)
  })
  const runs = useMemo(() => runsOf(record.samples), [record])
  return (
    <>
      <section className={`drop row${over ? ' over' : ''}`} aria-label="Which record">
        <p className="grow wraps">
          Shown: {record.name}. Drop another record in the form of line_run.csv (10 Hz), or choose it. It is
          read on this screen and not stored.
        </p>
        <FileButton
          word="Choose a record"
          accept=".csv"
          onFiles={(files) => files[0] && void read(files[0])}
        />
        {record !== own && (
          <button type="button" className="button" onClick={back}>
            Back to the works’ own
          </button>
        )}
      </section>
      {error && <Refusal error={error} />}
      {runs.length > 1 && (
        <fieldset className="zoom">
          <legend>Run</legend>
          {runs.map((run, i) => (
            <button
              // biome-ignore lint/suspicious/noArrayIndexKey: runs of a record have no name but their place
              key={i}
              type="button"
              className="button"
              aria-pressed={i === chosen}
              onClick={() => setChosen(i)}
            >
              {i + 1}: {run[0]!.line}, {run[0]!.cable}, {many(run.length, 'sample')}
            </button>
          ))}
        </fieldset>
      )}
      {runs[chosen] ? (
        <OneRun lines={lines} samples={runs[chosen]} />
      ) : (
        <p className="sentence">
          <strong>No run is recorded.</strong> Choose or drop a record above.
        </p>
      )}
    </>
  )
}

function OneRun({ lines, samples }: { lines: RecordedLines; samples: RunSample[] }) {
  const found = useMemo(() => {
    try {
      return { ...replayed(lines, samples), refusal: null }
    } catch (error) {
      if (error instanceof LastmetreError) return { refusal: refused(error) }
      throw error
    }
  }, [lines, samples])
  if (found.refusal !== null) return <Refusal error={found.refusal} />
  const { run, setup } = found
  const { analysis } = run
  return (
    <>
      <section className="stack" aria-label="What happened">
        <RunSentence analysis={analysis} />
        <TimeBar time={analysis.time} />
      </section>
      <RunFindings analysis={analysis} />
      <section className="stack" aria-labelledby="run-charts-head">
        <h2 id="run-charts-head">Along the strip</h2>
        <Near heightPx={CHART_HEIGHT_PX * CHARTS.length}>
          {(widthPx) =>
            CHARTS.map((chart) => (
              <Figure
                key={chart}
                told
                drawing={runChart(chart, run, setup, {
                  ...{
                    width: Math.max(LEAST_WIDTH_PX, widthPx),
                    height: CHART_HEIGHT_PX,
                    textSize: TEXT_SIZE_PX,
                  },
                })}
              />
            ))
          }
        </Near>
      </section>
    </>
  )
}

const CHART_HEIGHT_PX = 240
const LEAST_WIDTH_PX = 620
