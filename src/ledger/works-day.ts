const DAY_MS = 86_400_000

/** The days of a works as its records count them. */
export interface WorksDays {
  /** The day it is, YYYY-MM-DD. */
  today: string
  /** The works' day of an instant, given as ISO 8601. */
  dayOf(at: string): string
}

/**
 * A works folder says which day it plans for. Where that day lies ahead of the server's clock (a works planned ahead, or
 * the demo), what is recorded now belongs to the planned day and what was recorded a day ago to the day before it, so that
 * records and the folder's own dates stand in one order. Where it lies behind, the clock counts. An instant later than the
 * clock is taken as it is written.
 */
export function worksDays(plannedDate: string, nowIso: string): WorksDays {
  const clockDate = nowIso.slice(0, 10)
  const shiftMs = Math.max(0, midnight(plannedDate) - midnight(clockDate))
  return {
    today: plannedDate > clockDate ? plannedDate : clockDate,
    dayOf(at) {
      const day = at.slice(0, 10)
      if (shiftMs === 0 || day > clockDate) return day
      return new Date(midnight(day) + shiftMs).toISOString().slice(0, 10)
    },
  }
}

/** The date so many days after another. */
export function dateAfter(date: string, days: number): string {
  return new Date(midnight(date) + days * DAY_MS).toISOString().slice(0, 10)
}

/** Whole days from one date to another; below nought where the second lies before. */
export function daysBetween(from: string, to: string): number {
  return Math.round((midnight(to) - midnight(from)) / DAY_MS)
}

function midnight(date: string): number {
  return Date.parse(`${date.slice(0, 10)}T00:00:00Z`)
}
