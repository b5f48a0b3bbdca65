import { type RefObject, useEffect, useRef } from 'react'

/** A scanner types faster than any hand: its keys follow one another within so long (from memory). */
const SCAN_GAP_MS = 35
/** Once it is known for a scan, a slow tablet may take so long between two keys. */
const SLOW_GAP_MS = 1_000
const SHORTEST_SCAN = 3
const CODE_KEY = /^[A-Za-z0-9._-]$/

/**
 * Listens always: what a scanner types is the badge wherever the focus stands, so that a scan never lands in the PIN. A
 * scan is known by its speed, and in the PIN by what is no digit. What a hand types with no field in focus goes to the
 * field that is next.
 */
export function useBadgeScan(
  badgeField: RefObject<HTMLInputElement | null>,
  pinField: RefObject<HTMLInputElement | null>,
  onScan: (code: string) => void,
): void {
  const heard = useRef(onScan)
  useEffect(() => {
    heard.current = onScan
  })
  useEffect(() => {
    const typed: Typed = { text: '', atMs: Number.NEGATIVE_INFINITY, isScan: false }
    const listen = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.altKey || event.metaKey) return
      const inPin = event.target === pinField.current
      if (event.key === 'Enter') {
        const code = endOf(typed, event.timeStamp)
        if (code !== null) {
          event.preventDefault()
          event.stopPropagation()
          heard.current(code)
        } else if (event.target === badgeField.current) {
          event.preventDefault()
          pinField.current?.focus()
        }
      } else if (CODE_KEY.test(event.key)) {
        take(typed, event, inPin)
        if (typed.isScan) event.preventDefault()
        else if (!(event.target instanceof HTMLInputElement))
          (badgeField.current?.value ? pinField.current : badgeField.current)?.focus()
      }
    }
    document.addEventListener('keydown', listen, true)
    return () => document.removeEventListener('keydown', listen, true)
  }, [badgeField, pinField])
}

/** Keys that followed one another like a scanner's. */
interface Typed {
  text: string
  atMs: number
  /** Certainly a scan: it holds what no PIN has. */
  isScan: boolean
}

function take(typed: Typed, { key, timeStamp }: KeyboardEvent, inPin: boolean): void {
  const goesOn = timeStamp - typed.atMs <= (typed.isScan ? SLOW_GAP_MS : SCAN_GAP_MS)
  typed.text = goesOn ? typed.text + key : key
  typed.isScan = (goesOn && typed.isScan) || (inPin && !/\d/.test(key))
  typed.atMs = timeStamp
}

/** The code where what was typed is a scan; begins anew either way. */
function endOf(typed: Typed, atMs: number): string | null {
  const { text, isScan } = typed
  const quick = atMs - typed.atMs <= (isScan ? SLOW_GAP_MS : SCAN_GAP_MS)
  typed.text = ''
  typed.isScan = false
  typed.atMs = Number.NEGATIVE_INFINITY
  return quick && text.length >= SHORTEST_SCAN ? text : null
}
