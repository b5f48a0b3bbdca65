/** Lines due within this many days of the planning day are today's work. */
const TODAY_DAYS = 2
const DAY_MS = 86_400_000

export function isToday(dueDate: string, todayDate: string): boolean {
  return Date.parse(dueDate) - Date.parse(todayDate) <= TODAY_DAYS * DAY_MS
}
