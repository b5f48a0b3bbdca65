import { Refused, ServerGone } from '../api.ts'
import { count } from '../format.ts'
import { ProblemTable } from './problem-table.tsx'

/** What was refused and what to do about it, with every problem that came along. */
export function Refusal({ error }: { error: Error }) {
  if (error instanceof ServerGone)
    return (
      <div className="banner bad" role="alert">
        <p>The server did not answer, so nothing was done. What you typed is still here: try again.</p>
      </div>
    )
  const answer = error instanceof Refused ? error.answer : null
  const problems = answer?.problems ?? []
  return (
    <div className="stack">
      <div className="banner bad" role="alert">
        <p className="wraps">
          <strong>{error.message}</strong> {answer?.todo}
        </p>
      </div>
      {problems.length > 0 && <ProblemTable problems={problems} />}
      {answer?.more ? <p>And {count(answer.more)} more like these, not listed.</p> : null}
    </div>
  )
}
