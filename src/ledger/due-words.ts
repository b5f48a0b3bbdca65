import type { DueItem } from './due.ts'

const days = (n: number) => (n === 1 ? '1 day' : `${n} days`)

/** When something falls due, in words. */
export function dueWords({ state, inDays, dueDate, lastDate, lastCheck }: DueItem): string {
  const number = lastCheck === null ? '' : ` (${lastCheck})`
  switch (state) {
    case 'failed':
      return `failed${number} on ${lastDate}`
    case 'never':
      return 'never done as far as is recorded'
    case 'overdue':
      return `overdue by ${days(-(inDays ?? 0))}, since ${dueDate}`
    case 'today':
      return 'due today'
    case 'soon':
    case 'later':
      return `due in ${days(inDays ?? 0)}, on ${dueDate}`
  }
}

/** The answer first: how many wait, and the worst of them. */
export function dueSentence(items: DueItem[]): string {
  const failed = items.filter((i) => i.state === 'failed')
  const late = items.filter((i) => i.state === 'overdue' || i.state === 'never')
  const today = items.filter((i) => i.state === 'today')
  const [first] = items
  if (!first) return 'Nothing is known that must be checked.'
  if (failed.length + late.length + today.length === 0)
    return `Nothing is due today. Next: ${first.what} ${first.subject}, ${dueWords(first)}.`
  const parts = [
    failed.length > 0 ? `${failed.length} failed` : '',
    late.length > 0 ? `${late.length} overdue or never done` : '',
    today.length > 0 ? `${today.length} due today` : '',
  ]
  return `${parts.filter(Boolean).join(', ')}. First: ${first.what} ${first.subject}, ${dueWords(first)}.`
}
