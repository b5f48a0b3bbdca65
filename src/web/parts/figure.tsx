import type { Drawing } from '../../drawing/shape.ts'
import { ShapesSvg } from './shape-svg.tsx'

interface Props {
  drawing: Drawing
  told?: boolean
  /** Before its name, where the same picture stands twice on a page. */
  where?: string
}

/** A silent picture with its content as sentences: read out, and shown on demand where `told`. */
export function Figure({ drawing, told = false, where = '' }: Props) {
  const name = `${where}${drawing.title}`
  const list = (
    <ul className="figure-list">
      {drawing.list.map(({ text }) => (
        <li key={text} className="wraps">
          {text}
        </li>
      ))}
    </ul>
  )
  return (
    <figure aria-label={name} className="stack close">
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard */}
      <section className="figure-scroll" tabIndex={0} aria-label={`${name} Picture.`}>
        <ShapesSvg shapes={drawing.shapes} width={drawing.width} height={drawing.height} />
      </section>
      {told && drawing.list.length > 0 ? (
        <details className="small">
          <summary>The same in words</summary>
          {list}
        </details>
      ) : (
        <div className="spoken">{list}</div>
      )}
    </figure>
  )
}
