import { DOT_RADIUS, PATTERN_PITCH } from '../../drawing/pattern.ts'
import type { Fill, Shape, Stroke } from '../../drawing/shape.ts'

const P = PATTERN_PITCH

/** The pattern tiles, once for the whole page. */
export function PatternTiles() {
  const tile = { width: P, height: P, patternUnits: 'userSpaceOnUse' }
  return (
    <svg className="pattern-tiles" aria-hidden="true" width="0" height="0">
      <defs>
        <pattern id="fill-dots" {...tile}>
          <circle cx={P / 2} cy={P / 2} r={DOT_RADIUS} className="pattern-dot" />
        </pattern>
        <pattern id="fill-diagonal" {...tile}>
          <path d={`M0 ${P}L${P} 0`} className="pattern-line" />
        </pattern>
        <pattern id="fill-crossed" {...tile}>
          <path d={`M0 ${P}L${P} 0M0 0L${P} ${P}`} className="pattern-line" />
        </pattern>
      </defs>
    </svg>
  )
}

function fillOf(fill: Fill): string {
  if (fill === 'none') return 'none'
  if (fill === 'filled') return 'var(--line)'
  return fill === 'paper' ? 'var(--paper)' : `url(#fill-${fill})`
}

function strokeOf(stroke: Stroke | null) {
  if (!stroke) return {}
  return {
    stroke: `var(--${stroke.tone})`,
    strokeWidth: stroke.width,
    ...(stroke.dash ? { strokeDasharray: stroke.dash.join(' ') } : {}),
  }
}

function pointsOf(points: [number, number][]): string {
  return points.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ')
}

function ShapeSvg({ shape }: { shape: Shape }) {
  switch (shape.kind) {
    case 'rect':
      return (
        <rect
          x={shape.x}
          y={shape.y}
          width={Math.max(0, shape.width)}
          height={shape.height}
          fill={fillOf(shape.fill)}
          {...strokeOf(shape.stroke)}
        />
      )
    case 'polygon':
      return <polygon points={pointsOf(shape.points)} fill={fillOf(shape.fill)} {...strokeOf(shape.stroke)} />
    case 'polyline':
      return <polyline points={pointsOf(shape.points)} fill="none" {...strokeOf(shape.stroke)} />
    case 'circle':
      return <circle cx={shape.x} cy={shape.y} r={shape.radius} fill="none" {...strokeOf(shape.stroke)} />
    case 'text':
      return (
        <text
          x={shape.x}
          y={shape.y}
          fontSize={shape.size}
          textAnchor={shape.anchor}
          fontWeight={shape.bold ? 600 : 400}
          className={shape.halo ? 'halo' : undefined}
          fill={`var(--${shape.tone})`}
        >
          {shape.text}
        </text>
      )
  }
}

/** A drawing as SVG. It is silent: what it says is told by the list beside it. */
export function ShapesSvg({ shapes, width, height }: { shapes: Shape[]; width: number; height: number }) {
  return (
    <svg
      className="shapes"
      aria-hidden="true"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      focusable="false"
    >
      {shapes.map((shape, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: shapes have no identity but their place in the painting order
        <ShapeSvg key={i} shape={shape} />
      ))}
    </svg>
  )
}
