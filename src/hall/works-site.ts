import type { FilmOven } from '../putup/film-sleeve.ts'
import type { PutupRules } from '../putup/putup-rules.ts'
import type { CutRules } from '../strip/cut-rules.ts'
import type { RewindingLine } from './rewinding-line.ts'

/** The hall itself: who it is, what day it is, its lines and their rules. lines.json. */
export interface WorksSite {
  works: { name: string; town: string; todayDate: string }
  lines: RewindingLine[]
  oven: FilmOven & { id: string; kind: string; tempC: number }
  /** Circumference of every roller that may leave a periodic mark, m, by its name. */
  rollerCircumferencesM: Record<string, number>
  cutRules: CutRules
  putupRules: PutupRules
}
