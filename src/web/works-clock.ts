import { worksDays } from '../ledger/works-day.ts'
import { day } from './format.ts'

const KEPT = 'lastmetre.planning-day'

/** Kept at the station: the tablet at a line shows its records before the works is loaded, and without the server. */
let plannedDate = typeof localStorage === 'undefined' ? null : localStorage.getItem(KEPT)

/** The day that the open works plans for: what is recorded is shown by it, as its own dates are. */
export function showBy(date: string): void {
  plannedDate = date
  localStorage.setItem(KEPT, date)
}

/** The works' day of an instant, on the clock of whoever looks: "3 Mar 2031". */
export function happenedOn(isoInstant: string): string {
  return day(worksDate(isoInstant))
}

/** The works' day of an instant and the time of the clock: "3 Mar 2031, 14:05". What is a day only has no time. */
export function instant(isoInstant: string): string {
  const at = new Date(isoInstant)
  if (Number.isNaN(at.getTime())) return isoInstant
  return isoInstant.length > 10
    ? `${happenedOn(isoInstant)}, ${at.toLocaleTimeString('en-GB', { timeStyle: 'short' })}`
    : day(isoInstant)
}

/** The works' day of an instant as YYYY-MM-DD; of a day alone the day itself. */
export function worksDate(isoInstant: string): string {
  const at = new Date(isoInstant)
  if (isoInstant.length <= 10 || Number.isNaN(at.getTime())) return isoInstant.slice(0, 10)
  const today = localDate(new Date())
  return worksDays(plannedDate ?? today, today).dayOf(localDate(at))
}

/** YYYY-MM-DD on the clock of whoever looks. */
function localDate(at: Date): string {
  const two = (n: number) => String(n).padStart(2, '0')
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`
}
