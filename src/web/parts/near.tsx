import { type ReactNode, useEffect, useRef, useState } from 'react'

/** Well beyond the edge of the screen, so that tabbing and scrolling never meet an empty place. */
const MARGIN_PX = 1200

/** Width of an element as it stands, and whether it has come near the part of the page in sight. */
export function useNear() {
  const box = useRef<HTMLDivElement>(null)
  const [width, setWidth] = useState(0)
  const [near, setNear] = useState(false)

  useEffect(() => {
    const element = box.current
    if (!element) return
    const size = new ResizeObserver((entries) => setWidth(Math.floor(entries[0]!.contentRect.width)))
    const sight = new IntersectionObserver(
      (entries) => {
        if (entries.some((entry) => entry.isIntersecting)) setNear(true)
      },
      { rootMargin: `${MARGIN_PX}px` },
    )
    size.observe(element)
    sight.observe(element)
    return () => {
      size.disconnect()
      sight.disconnect()
    }
  }, [])
  return { box, width, near }
}

/** Draws its content only near the part of the page in sight; keeps its place open until then. */
export function Near(props: { heightPx: number; children: (widthPx: number) => ReactNode }) {
  const { box, width, near } = useNear()
  return (
    <div ref={box} style={{ minHeight: near && width > 0 ? undefined : props.heightPx }}>
      {near && width > 0 && props.children(width)}
    </div>
  )
}
