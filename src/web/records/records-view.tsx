import { QuestionLinks } from '../parts/question-links.tsx'
import { useHash } from '../route.ts'

/** The questions of the records, each with an address of its own behind the #. */
const RECORDS_VIEWS = [
  { id: 'follow', word: 'Follow' },
  { id: 'recall', word: 'Recall' },
  { id: 'balance', word: 'Balance' },
  { id: 'due', word: 'Due' },
  { id: 'complaints', word: 'Complaints' },
  { id: 'waiting', word: 'Waiting' },
] as const

export type RecordsView = (typeof RECORDS_VIEWS)[number]['id']

export interface RecordsAddress {
  view: RecordsView
  /** What stands behind the question: "#follow/31-000123-7", "#recall/check/CK-000007". */
  rest: string[]
}

function addressOf(hash: string): RecordsAddress {
  const [id, ...rest] = hash.replace(/^#/, '').split('/').map(decoded)
  return { view: RECORDS_VIEWS.find((v) => v.id === id)?.id ?? 'follow', rest }
}

function decoded(part: string): string {
  try {
    return decodeURIComponent(part)
  } catch {
    return part
  }
}

export function useRecordsAddress(): RecordsAddress {
  return addressOf(useHash())
}

/** The address of one answer, to link to or to go to. */
export function recordsHash(view: RecordsView, ...rest: string[]): string {
  return `#${[view, ...rest].map(encodeURIComponent).join('/')}`
}

export function goToRecord(view: RecordsView, ...rest: string[]): void {
  window.location.hash = recordsHash(view, ...rest)
}

export function RecordsViews({ view }: { view: RecordsView }) {
  return <QuestionLinks label="Questions of the records" views={RECORDS_VIEWS} view={view} />
}
