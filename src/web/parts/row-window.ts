import { useCallback, useEffect, useRef, useState, useSyncExternalStore } from 'react'

/** Above this many rows only those in sight are drawn. */
export const ALL_ROWS_UP_TO = 200
const LINE_PX = 20
/** Padding and rule of a row. */
const AROUND_PX = 17
/** Lines that a folded row has beside its longest cell. */
const FOLDED_LINES = 4
const OVERSCAN = 12
const NARROW = '(max-width: 760px)'

function onNarrow(listener: () => void): () => void {
  const query = window.matchMedia(NARROW)
  query.addEventListener('change', listener)
  return () => query.removeEventListener('change', listener)
}

/** Which rows of a long table to draw, each `lines` high, and how to bring one into sight without moving the page. */
export function useRowWindow(rows: number, lines: number) {
  const box = useRef<HTMLElement>(null)
  const narrow = useSyncExternalStore(onNarrow, () => window.matchMedia(NARROW).matches)
  const [scroll, setScroll] = useState({ top: 0, height: 800 })
  const virtual = rows > ALL_ROWS_UP_TO
  const rowHeight = (narrow ? lines + FOLDED_LINES : lines) * LINE_PX + AROUND_PX

  useEffect(() => {
    if (virtual && box.current) setScroll({ top: box.current.scrollTop, height: box.current.clientHeight })
  }, [virtual])

  const onScroll = useCallback(() => {
    if (virtual && box.current) setScroll({ top: box.current.scrollTop, height: box.current.clientHeight })
  }, [virtual])

  const reveal = useCallback(
    (index: number) => {
      const element = box.current
      if (!element) return
      const row = virtual ? null : element.querySelector<HTMLElement>(`[data-row="${index}"]`)
      const headPx = element.querySelector('thead')?.offsetHeight ?? 0
      const top = virtual ? index * rowHeight : (row?.offsetTop ?? 0) - headPx
      const height = virtual ? rowHeight : (row?.offsetHeight ?? 0)
      const roomPx = element.clientHeight - headPx
      if (top < element.scrollTop) element.scrollTop = top
      else if (top + height > element.scrollTop + roomPx) element.scrollTop = top + height - roomPx
    },
    [virtual, rowHeight],
  )

  const first = virtual ? Math.max(0, Math.floor(scroll.top / rowHeight) - OVERSCAN) : 0
  const last = virtual ? Math.min(rows, Math.ceil((scroll.top + scroll.height) / rowHeight) + OVERSCAN) : rows
  return {
    box,
    virtual,
    rowHeight,
    cellHeight: lines * LINE_PX,
    first,
    last,
    above: first * rowHeight,
    below: (rows - last) * rowHeight,
    onScroll,
    reveal,
  }
}
