import { QuestionLinks } from '../parts/question-links.tsx'
import { useHash } from '../route.ts'

/** The questions of the line, each with an address of its own behind the #. */
const LINE_VIEWS = [
  { id: 'now', word: 'Now' },
  { id: 'mounting', word: 'Mounting' },
  { id: 'counter', word: 'Counter' },
  { id: 'run', word: 'Recorded run' },
] as const

export type LineView = (typeof LINE_VIEWS)[number]['id']

interface Address {
  view: LineView
  /** Number of the mounting, from 1. */
  mounting: number
}

let latest: Address = { view: 'now', mounting: 1 }

/** "#mounting-3", "#counter", "#run", "#now" or "?view=now"; what was shown last where the address names nothing. */
function addressOf(hash: string): Address {
  if (hash === '' && new URLSearchParams(window.location.search).get('view') === 'now')
    return { ...latest, view: 'now' }
  const mounting = /^#mounting-([1-9]\d{0,5})$/.exec(hash)
  if (mounting) return { view: 'mounting', mounting: Number(mounting[1]) }
  const view = LINE_VIEWS.find(({ id }) => `#${id}` === hash)?.id
  return view ? { ...latest, view } : latest
}

export function useLineAddress(): Address {
  latest = addressOf(useHash())
  return latest
}

export function goToMounting(number: number): void {
  window.location.hash = `mounting-${number}`
}

export function LineViews({ view }: { view: LineView }) {
  return <QuestionLinks label="Questions of the line" views={LINE_VIEWS} view={view} />
}
