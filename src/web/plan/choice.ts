/** What is chosen, and on which side it was: the other side brings it into sight. */
export interface Choice {
  line: string
  from: 'band' | 'table'
  /** The one cut that was chosen in a drawing. */
  cut: CutPlace | null
}

/** Counted from 0, as the plan's lists are. */
export interface CutPlace {
  mounting: number
  interval: number
}
