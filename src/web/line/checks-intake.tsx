import { useRef, useState } from 'react'
import type { PlanInput } from '../../plan/plan-input.ts'
import type { ChecksPreview } from '../../works/api.ts'
import { postFiles, postJson } from '../api.ts'
import { many } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { FileButton } from '../parts/file-button.tsx'
import { useFileDrop } from '../parts/file-drop.ts'
import { ProblemTable } from '../parts/problem-table.tsx'
import { Refusal } from '../parts/refusal.tsx'
import { useWorks } from '../works-state.tsx'
import { CheckForm } from './check-form.tsx'

interface Intake {
  text: string
  busy: boolean
  preview: ChecksPreview | null
  error: Error | null
  stored: string | null
}

const EMPTY: Intake = { text: '', busy: false, preview: null, error: null, stored: null }

function useChecks() {
  const { refresh } = useWorks()
  const [intake, setIntake] = useState<Intake>(EMPTY)
  const turn = useRef(0)
  const set = (change: Partial<Intake>) => setIntake((before) => ({ ...before, ...change }))

  async function read(asked: Promise<ChecksPreview>) {
    turn.current += 1
    const mine = turn.current
    set({ busy: true, error: null, stored: null, preview: null })
    const answer = await asked.then(
      (preview) => ({ preview }),
      (error: Error) => ({ error }),
    )
    // what was read later counts, whichever is answered first
    if (mine === turn.current) set({ ...answer, busy: false })
  }

  async function store() {
    const { preview } = intake
    if (!preview || preview.token === '') return
    set({ busy: true, error: null })
    try {
      await postJson('/api/counter/checks', { token: preview.token })
      await refresh()
      setIntake({ ...EMPTY, stored: `${many(preview.rows.length, 'check')} stored.` })
    } catch (error) {
      set({ error: error as Error, busy: false })
    }
  }
  return {
    intake,
    set,
    store,
    readText: (text: string) => read(postJson('/api/counter/preview', { text })),
    readFile: (file: File) => read(postFiles('/api/counter/preview', [{ name: file.name, file }])),
    discard: () => setIntake(EMPTY),
  }
}

/** New tape checks: typed, pasted or dropped; shown as understood, stored after a press. */
export function ChecksIntake({ input, line }: { input: PlanInput; line: string }) {
  const { intake, set, store, readText, readFile, discard } = useChecks()
  const over = useFileDrop((data) => {
    const file = data.files[0]
    if (file) void readFile(file)
  })
  return (
    <section className={`drop stack${over ? ' over' : ''}`} aria-labelledby="checks-head">
      <div className="row">
        <h2 id="checks-head" className="grow">
          Enter a tape check
        </h2>
        <FileButton
          word="Choose a CSV file"
          accept=".csv,.txt,.tsv"
          onFiles={(files) => files[0] && void readFile(files[0])}
        />
      </div>
      <CheckForm key={line} input={input} line={line} onCheck={(text) => void readText(text)} />
      <details>
        <summary>Paste rows instead, with a header row as in counter_checks.csv</summary>
        <div className="field">
          <label htmlFor="checks-box">Rows of checks</label>
          <textarea
            id="checks-box"
            value={intake.text}
            spellCheck={false}
            onChange={(event) => set({ text: event.target.value })}
          />
        </div>
        <button type="button" className="button" onClick={() => void readText(intake.text)}>
          Read the rows
        </button>
      </details>
      <p role="status" className={intake.busy || intake.stored ? '' : 'spoken'}>
        {intake.busy
          ? 'Reading …'
          : intake.stored && (
              <strong>✓ {intake.stored} Correction, charts and guard follow it at once.</strong>
            )}
      </p>
      {intake.error && <Refusal error={intake.error} />}
      {intake.preview && (
        <Preview
          preview={intake.preview}
          busy={intake.busy}
          onStore={() => void store()}
          onDiscard={discard}
        />
      )}
    </section>
  )
}

function Preview(props: {
  preview: ChecksPreview
  busy: boolean
  onStore: () => void
  onDiscard: () => void
}) {
  const { preview, busy } = props
  const { rows, problems, more, notes, understood, token } = preview
  const columns: Column<Record<string, string>>[] = Object.keys(rows[0] ?? {}).map((name) => ({
    key: name,
    head: name,
    track: 'minmax(0, 1fr)',
    cell: (row) => <span>{row[name]}</span>,
  }))
  return (
    <section className="stack" aria-labelledby="checks-preview-head">
      <h3 id="checks-preview-head">
        Understood as {many(understood.rows, 'check')} (separated by {understood.source}, decimal{' '}
        {understood.decimalMark === ',' ? 'comma' : 'point'})
      </h3>
      {problems.length > 0 && (
        <p className="banner bad" role="alert">
          <strong>{many(problems.length + more, 'cell')} cannot be right.</strong> Mend them and read again.
          Nothing is stored until all is right.
        </p>
      )}
      {problems.length > 0 && <ProblemTable problems={problems} />}
      {notes.map((text) => (
        <p className="banner wraps" role="note" key={text}>
          {text}
        </p>
      ))}
      {rows.length > 0 && (
        <DataTable
          caption="Checks as understood"
          columns={columns}
          rows={rows}
          keyOf={(_, i) => String(i)}
          pane
        />
      )}
      <div className="row">
        <button
          type="button"
          className="main-action"
          aria-disabled={busy || token === ''}
          onClick={props.onStore}
        >
          Store {many(understood.rows, 'check')}
        </button>
        <button type="button" className="button" onClick={props.onDiscard}>
          Discard
        </button>
      </div>
    </section>
  )
}
