/** No hand strikes keys so fast, one after the other, to the end; every scanner does (from memory). */
const SCAN_GAP_MS = 30
const LEAST_SCAN = 3
const MOST_SCAN = 200

export interface ScanListener {
  /** False while the keys are another's. */
  active: () => boolean
  onScan: (code: string) => void
  /** A single letter outside of any field, or in one that takes figures only; answers whether it was of use. */
  onLetter: (letter: string) => boolean
}

interface Burst {
  text: string
  lastMs: number
  /** Where the keys would have gone; null: to no field. */
  field: HTMLInputElement | HTMLTextAreaElement | null
  timer: ReturnType<typeof setTimeout>
}

/**
 * Listens at the whole document for the quick keystrokes of a scanner, ended by Enter or Tab. Every key is held back
 * for SCAN_GAP_MS: followed by another in that time it may be a scan and goes into no field; else it is put where it was typed,
 * so that a scan never leaves a digit in a field. Returns what ends it.
 */
export function listenForScans(listener: ScanListener): () => void {
  let burst: Burst | null = null

  /** It was typed: into its field, or a letter that calls a button. */
  const flush = () => {
    if (!burst) return
    const { text, field } = burst
    clearTimeout(burst.timer)
    burst = null
    if (field && !(isLetter(text) && takesFigures(field) && listener.onLetter(text))) insert(field, text)
    if (!field && text.length === 1) listener.onLetter(text)
  }

  const hear = (event: KeyboardEvent) => {
    if (event.isComposing || event.ctrlKey || event.altKey || event.metaKey || !listener.active()) return
    if (event.key === 'Enter' || event.key === 'Tab') return ended(event)
    if (event.key === 'Shift') return
    const field = fieldOf(event.target)
    const kept = event.key.length === 1 && !(event.key === ' ' && !burst) && !isOther(event.target)
    if (!kept) return flush()
    // time of the key itself: a busy page hears two at once that came apart
    if (burst && (event.timeStamp - burst.lastMs > SCAN_GAP_MS || burst.text.length >= MOST_SCAN)) flush()
    event.preventDefault()
    event.stopPropagation()
    if (burst) clearTimeout(burst.timer)
    burst = {
      text: (burst?.text ?? '') + event.key,
      lastMs: event.timeStamp,
      field: burst ? burst.field : field,
      timer: setTimeout(flush, SCAN_GAP_MS + 5),
    }
  }

  const ended = (event: KeyboardEvent) => {
    if (!burst) return
    const { text, lastMs } = burst
    if (text.length < LEAST_SCAN || event.timeStamp - lastMs > SCAN_GAP_MS) return flush()
    event.preventDefault()
    event.stopPropagation()
    clearTimeout(burst.timer)
    burst = null
    listener.onScan(text)
  }

  document.addEventListener('keydown', hear, { capture: true })
  return () => {
    document.removeEventListener('keydown', hear, { capture: true })
    if (burst) clearTimeout(burst.timer)
  }
}

function isLetter(text: string): boolean {
  return /^[a-z]$/i.test(text)
}

function takesFigures({ inputMode }: HTMLElement): boolean {
  return inputMode === 'decimal' || inputMode === 'numeric'
}

const NO_TEXT = new Set(['button', 'checkbox', 'file', 'radio', 'range', 'reset', 'submit'])

function fieldOf(target: EventTarget | null): HTMLInputElement | HTMLTextAreaElement | null {
  if (target instanceof HTMLTextAreaElement) return target
  return target instanceof HTMLInputElement && !NO_TEXT.has(target.type) ? target : null
}

/** Lists choose by letters, radio buttons by none that we use: both keep their keys. */
function isOther(target: EventTarget | null): boolean {
  return target instanceof HTMLElement && (target.isContentEditable || target instanceof HTMLSelectElement)
}

/** As if it had been typed: the browser tells the page of it, and can take it back. */
function insert(field: HTMLInputElement | HTMLTextAreaElement, text: string): void {
  field.focus({ preventScroll: true })
  if (document.execCommand('insertText', false, text)) return
  field.setRangeText(text, field.selectionStart ?? 0, field.selectionEnd ?? 0, 'end')
  field.dispatchEvent(new InputEvent('input', { bubbles: true, data: text, inputType: 'insertText' }))
}
