import { useState } from 'react'
import type { FloorLines } from '../../../works/floor-api.ts'
import { Refusal } from '../../parts/refusal.tsx'
import { Skeleton } from '../../parts/skeleton.tsx'
import { useAnswer } from '../../use-answer.ts'
import { FloorLine } from './floor-line.tsx'

const KEPT = 'lastmetre.floor-line'

/** The line of the address, else the one that this tablet showed last. */
function lineOfAddress(): string | null {
  return new URLSearchParams(window.location.search).get('line') ?? window.localStorage.getItem(KEPT)
}

/** Now and next at one line; asks which line it stands at until that is known. */
export function FloorPlace() {
  const [line, setLine] = useState(lineOfAddress)
  const choose = (chosen: string | null) => {
    const named = chosen === null ? '' : `&line=${encodeURIComponent(chosen)}`
    window.history.replaceState(null, '', `/line?view=now${named}`)
    if (chosen !== null) window.localStorage.setItem(KEPT, chosen)
    setLine(chosen)
  }
  if (line === null) return <LineChooser onChoose={choose} />
  return <FloorLine key={line} line={line} onOtherLine={() => choose(null)} />
}

function LineChooser({ onChoose }: { onChoose: (line: string) => void }) {
  const { answer, error } = useAnswer<FloorLines>('/api/floor/lines')
  if (error) return <Refusal error={error} />
  if (!answer) return <Skeleton />
  return (
    <section className="stack" aria-labelledby="which-line">
      <p className="sentence" id="which-line">
        <strong>Which line does this tablet stand at?</strong>
      </p>
      <div className="hand-grid">
        {answer.lines.map(({ line, bench, drum }) => (
          <button key={line} type="button" className="button hand" onClick={() => onChoose(line)}>
            <span>
              {line}
              <br />
              <span className="small quiet">
                {bench ? 'cutting bench' : 'line'}
                {drum ? `, ${drum} on it` : ', no drum on it'}
              </span>
            </span>
          </button>
        ))}
      </div>
    </section>
  )
}
