import { QuestionLinks } from '../parts/question-links.tsx'
import { useHash } from '../route.ts'

/** The questions of the bench, each with an address of its own behind the #. */
export const BENCH_VIEWS = [
  { id: 'today', word: 'Today' },
  { id: 'loss', word: 'Loss' },
  { id: 'judge', word: 'Judge a measurement' },
  { id: 'sets', word: 'Sets' },
] as const

export type BenchView = (typeof BENCH_VIEWS)[number]['id']

function viewOf(hash: string): BenchView | null {
  return BENCH_VIEWS.find(({ id }) => `#${id}` === hash)?.id ?? null
}

let latest: BenchView = 'today'

/** The view that the address names; the last one where it names none. */
export function useBenchView(): BenchView {
  latest = viewOf(useHash()) ?? latest
  return latest
}

export function BenchViews({ view }: { view: BenchView }) {
  return <QuestionLinks label="Questions of the bench" views={BENCH_VIEWS} view={view} />
}
