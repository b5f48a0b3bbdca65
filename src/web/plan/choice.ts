/** What is chosen, and on which side it was: the other side brings it into sight. */
export interface Choice {
  line: string
  from: 'band' | 'table'
}
