/** Lines due within this many days of the planning day, or overdue, are today's work; the rest is later. A works habit, not a rule of the contract. */
export const TODAY_DAYS = 2
const DAY_MS = 86_400_000

export function isDueToday(dueDate: string, todayDate: string): boolean {
  return Date.parse(dueDate) - Date.parse(todayDate) <= TODAY_DAYS * DAY_MS
}
