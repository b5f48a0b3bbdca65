import { type KeyboardEvent, type ReactNode, useId, useMemo, useRef, useState } from 'react'
import type { Drawing } from '../../drawing/shape.ts'
import { type DrawingItem, drawingItems } from './drawing-items.ts'
import { ShapesSvg } from './shape-svg.tsx'

interface Props {
  drawing: Drawing
  /** Keys of the items that are chosen elsewhere; see ownerKey. */
  chosen?: ReadonlySet<string>
  onChoose?: (key: string) => void
  /** More facts for the card of one item. */
  factsOf?: (key: string) => ReactNode
}

/** Narrower than this a band could not be hit or seen when focused. */
const LEAST_WIDTH_PX = 6
const CARD_WIDTH_PX = 304

/**
 * A strip drawing that can be walked through: one tab stop, arrows from item to item, Enter chooses, Escape puts the
 * card away. The items are an ordered list of buttons laid over the silent picture.
 */
export function StripPicture({ drawing, chosen, onChoose, factsOf }: Props) {
  const items = useMemo(() => drawingItems(drawing), [drawing])
  const solid = useMemo(() => items.filter((item) => item.box), [items])
  const [at, setAt] = useState(0)
  const [carded, setCarded] = useState<string | null>(null)
  const [scrolledPx, setScrolledPx] = useState(0)
  const cardId = useId()
  const list = useRef<HTMLOListElement>(null)
  const current = Math.min(at, Math.max(0, solid.length - 1))
  const card = solid.find((item) => item.key === carded)

  function move(event: KeyboardEvent) {
    if (event.key === 'Escape') setCarded(null)
    const to = { ArrowRight: current + 1, ArrowLeft: current - 1, Home: 0, End: solid.length - 1 }[event.key]
    const next = to === undefined ? undefined : solid[to]
    if (!next) return
    event.preventDefault()
    list.current?.querySelector<HTMLElement>(`[data-item="${CSS.escape(next.key)}"]`)?.focus()
  }

  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: leaving the picture puts its card away
    <div className="strip-picture" onMouseLeave={() => setCarded(null)}>
      <div className="strip-scroll" onScroll={(event) => setScrolledPx(event.currentTarget.scrollLeft)}>
        <div className="strip-sheet" style={{ width: drawing.width, height: drawing.height }}>
          <ShapesSvg shapes={drawing.shapes} width={drawing.width} height={drawing.height} />
          <ol className="strip-items" aria-label={drawing.title} ref={list} onKeyDown={move}>
            {items.map((item) =>
              item.box ? (
                <li key={item.key}>
                  <ItemButton
                    item={item}
                    box={item.box}
                    tabbed={item === solid[current]}
                    pressed={onChoose ? (chosen?.has(item.key) ?? false) : undefined}
                    describedBy={item.key === carded ? cardId : undefined}
                    onCard={setCarded}
                    onFocus={() => setAt(solid.indexOf(item))}
                    onChoose={onChoose}
                  />
                </li>
              ) : (
                <li key={item.key} className="spoken">
                  {item.line.text}
                </li>
              ),
            )}
          </ol>
        </div>
      </div>
      {card?.box && (
        <div className="card" id={cardId} style={cardPlace(card.box, scrolledPx, drawing)}>
          <p className="wraps">{card.line.text}</p>
          {factsOf?.(card.key)}
        </div>
      )}
    </div>
  )
}

interface ItemButtonProps {
  item: DrawingItem
  box: NonNullable<DrawingItem['box']>
  tabbed: boolean
  /** undefined where nothing can be chosen. */
  pressed: boolean | undefined
  describedBy: string | undefined
  onCard: (key: string | null) => void
  onFocus: () => void
  onChoose: ((key: string) => void) | undefined
}

function ItemButton({ item, box, tabbed, pressed, describedBy, onCard, onFocus, onChoose }: ItemButtonProps) {
  const width = Math.max(box.width, LEAST_WIDTH_PX)
  return (
    <button
      type="button"
      data-item={item.key}
      className={pressed ? 'strip-item chosen' : 'strip-item'}
      tabIndex={tabbed ? 0 : -1}
      aria-pressed={pressed}
      aria-describedby={describedBy}
      style={{ left: box.x - (width - box.width) / 2, top: box.y, width, height: box.height }}
      onFocus={() => {
        onFocus()
        onCard(item.key)
      }}
      onBlur={() => onCard(null)}
      onMouseEnter={() => onCard(item.key)}
      onClick={() => {
        onCard(item.key)
        onChoose?.(item.key)
      }}
    >
      <span className="spoken">{item.line.text}</span>
    </button>
  )
}

/** Under the drawing, so that it hides none of its labels. */
function cardPlace(
  box: NonNullable<DrawingItem['box']>,
  scrolledPx: number,
  drawing: Drawing,
): React.CSSProperties {
  const middle = box.x + box.width / 2 - scrolledPx
  const left = Math.max(0, Math.min(middle - CARD_WIDTH_PX / 2, drawing.width - CARD_WIDTH_PX))
  return { left, top: drawing.height - 4 }
}
