/**
 * What a drawing is made of: a plain list, painted in order. The screens turn it into SVG, the papers into PDF.
 * One unit is one CSS pixel on a screen and one point on paper; x grows to the right, y downwards.
 */
export type Shape = RectShape | PolygonShape | PolylineShape | CircleShape | TextShape

/**
 * A fill is told apart by its pattern, never by colour alone: `paper` hides what lies below it, `dots` is kept cable,
 * `diagonal` an end loss, threading or trim, `crossed` scrap. The tiles are in pattern.ts. `filled` is done; only screens
 * draw what is done.
 */
export type Fill = 'none' | 'paper' | 'dots' | 'diagonal' | 'crossed' | 'filled'

/** Colour repeats what shape, pattern and text already say; on paper `ink` and `quiet` are black, `line` is grey. */
export type Tone = 'ink' | 'quiet' | 'line' | 'plum' | 'amber'

export interface Stroke {
  tone: Tone
  width: number
  /** Lengths of dash and gap. */
  dash?: [number, number]
}

/** The thing that a shape belongs to, so that a screen can select it: an interval of the mounting by its index, a fault by its id. */
export type ShapeOwner = { interval: number } | { fault: string }

interface Owned {
  of?: ShapeOwner
}

export interface RectShape extends Owned {
  kind: 'rect'
  x: number
  y: number
  width: number
  height: number
  fill: Fill
  stroke: Stroke | null
}

/** A closed outline. */
export interface PolygonShape extends Owned {
  kind: 'polygon'
  points: [x: number, y: number][]
  fill: Fill
  stroke: Stroke | null
}

/** An open line through its points. */
export interface PolylineShape extends Owned {
  kind: 'polyline'
  points: [x: number, y: number][]
  stroke: Stroke
}

export interface CircleShape extends Owned {
  kind: 'circle'
  x: number
  y: number
  radius: number
  stroke: Stroke
}

export interface TextShape extends Owned {
  kind: 'text'
  x: number
  /** Baseline. */
  y: number
  text: string
  size: number
  anchor: 'start' | 'middle' | 'end'
  bold: boolean
  tone: Tone
  /** Width that the geometry reckoned with; the painter may squeeze, never wrap. */
  width: number
  /** Paint paper behind it, so that lines and patterns do not run through the letters. */
  halo: boolean
}

/** One line of what the drawing says, for a screen reader and for a table. */
export interface DrawingLine {
  text: string
  of: ShapeOwner | null
}

export interface Drawing {
  width: number
  height: number
  shapes: Shape[]
  /** One sentence that names the thing drawn. */
  title: string
  /** The same content as an ordered list, from the outer end. */
  list: DrawingLine[]
}
