import { useRef } from 'react'
import type { OrdersPreview } from '../../works/api.ts'
import { postFiles, postJson } from '../api.ts'
import { many } from '../format.ts'
import { useWorks } from '../works-state.tsx'
import { emptyDraft, type OrdersDraft } from './orders-draft.ts'

export interface Intake {
  draft: OrdersDraft
  onDraft: (change: (draft: OrdersDraft) => OrdersDraft) => void
}

/** More than this many letters a text box cannot show without stalling the page. */
const BOX_HOLDS = 300_000

/** The text of a file, or null where it is not UTF-8 text: then the server says what is wrong with it. */
async function textOf(file: File): Promise<string | null> {
  if (/\.xlsx$/i.test(file.name) || file.size > 20 * BOX_HOLDS) return null
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(await file.arrayBuffer())
  } catch {
    return null
  }
}

/** Reads what was pasted, dropped or chosen, and stores it after a press. */
export function useIntake({ draft, onDraft }: Intake) {
  const { refresh } = useWorks()
  const turn = useRef(0)
  const set = (change: Partial<OrdersDraft>) => onDraft((d) => ({ ...d, ...change }))

  async function preview(asked: Promise<OrdersPreview>) {
    turn.current += 1
    const mine = turn.current
    set({ busy: true, error: null, stored: null, preview: null })
    const answer = await asked.then(
      (read) => ({ preview: read }),
      (error: Error) => ({ error }),
    )
    // what was pasted later counts, whichever is answered first
    if (mine === turn.current) set({ ...answer, busy: false })
  }

  async function readText(text: string) {
    set({ text, fileName: null, open: text.length <= BOX_HOLDS })
    if (text.trim() === '') return
    await preview(postJson<OrdersPreview>('/api/orders/preview', { text }))
  }

  async function readFile(file: File) {
    const text = await textOf(file)
    if (text !== null) return readText(text)
    set({ text: '', fileName: file.name, open: false })
    await preview(postFiles<OrdersPreview>('/api/orders/preview', [{ name: file.name, file }]))
  }

  async function store() {
    if (!draft.preview) return
    set({ busy: true, error: null })
    try {
      await postJson('/api/orders', { token: draft.preview.token })
      onDraft(() => ({
        ...emptyDraft,
        stored: `${many(draft.preview!.understood.rows, 'order line')} stored.`,
      }))
      await refresh()
    } catch (error) {
      set({ error: error as Error, busy: false })
    }
  }
  return { set, readText, readFile, store }
}
