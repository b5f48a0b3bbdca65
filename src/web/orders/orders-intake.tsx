import { useEffect } from 'react'
import { FileButton } from '../parts/file-button.tsx'
import { useFileDrop } from '../parts/file-drop.ts'
import { Refusal } from '../parts/refusal.tsx'
import { emptyDraft, type OrdersDraft } from './orders-draft.ts'
import { OrdersPreviewPanel } from './orders-preview.tsx'
import { type Intake, useIntake } from './use-intake.ts'

function isTyping(target: EventTarget | null): boolean {
  return target instanceof HTMLElement && target.matches('input, textarea, select')
}

export function OrdersIntake({ draft, onDraft }: Intake) {
  const { set, readText, readFile, store } = useIntake({ draft, onDraft })
  const over = useFileDrop((data) => {
    const file = data.files[0]
    if (file) void readFile(file)
  })

  useEffect(() => {
    const onPaste = (event: ClipboardEvent) => {
      if (isTyping(event.target)) return
      // a spreadsheet puts a picture of the cells beside their text
      const text = event.clipboardData?.getData('text/plain')
      const file = event.clipboardData?.files[0]
      if (text) void readText(text)
      else if (file) void readFile(file)
    }
    window.addEventListener('paste', onPaste)
    return () => window.removeEventListener('paste', onPaste)
  })

  return (
    <section className={`drop stack${over ? ' over' : ''}`} aria-label="New order lines">
      <div className="row">
        <p className="grow">
          New order lines: paste them from your spreadsheet anywhere here (Ctrl+V), or drop a CSV or XLSX
          file.
        </p>
        <button
          type="button"
          className="button"
          aria-expanded={draft.open}
          onClick={() => set({ open: !draft.open })}
        >
          Paste box
        </button>
        <FileButton
          word="Choose a file"
          accept=".csv,.txt,.tsv,.xlsx"
          onFiles={(files) => files[0] && void readFile(files[0])}
        />
      </div>
      {draft.open && (
        <PasteBox draft={draft} onText={(text) => set({ text })} onRead={() => void readText(draft.text)} />
      )}
      <p role="status" className={draft.busy || draft.stored ? '' : 'spoken'}>
        {draft.busy
          ? 'Reading …'
          : draft.stored && <strong>✓ {draft.stored} The plan does not know them yet.</strong>}
      </p>
      {draft.error && <Refusal error={draft.error} />}
      {draft.preview && (
        <OrdersPreviewPanel
          preview={draft.preview}
          busy={draft.busy}
          onStore={() => void store()}
          onDiscard={() => onDraft(() => emptyDraft)}
        />
      )}
    </section>
  )
}

function PasteBox(props: { draft: OrdersDraft; onText: (text: string) => void; onRead: () => void }) {
  const { draft } = props
  return (
    <div className="stack close">
      <div className="field">
        <label htmlFor="paste-box">
          Order lines with a header row, in the columns of orders.csv
          {draft.fileName && ` (read from ${draft.fileName})`}
        </label>
        <textarea
          id="paste-box"
          value={draft.text}
          spellCheck={false}
          onChange={(event) => props.onText(event.target.value)}
        />
      </div>
      <div>
        <button type="button" className="button" disabled={draft.busy} onClick={props.onRead}>
          Read it
        </button>
      </div>
    </div>
  )
}
