import type { FloorCut } from '../../../works/floor-api.ts'
import { stopText } from './cut-text.ts'
import { HandButton } from './hand-button.tsx'

/** The plan changed under the cut in hand: both stand there until a person says that the line stands. */
export function ChangedCut(props: { cut: FloorCut | null; wanted: FloorCut | 'none'; onTake: () => void }) {
  const { cut, wanted, onTake } = props
  return (
    <section className="banner changed-cut" aria-labelledby="changed-head">
      <div className="stack close grow">
        <h2 id="changed-head">The plan has changed: run this cut as shown, or stop and take the new one</h2>
        <dl className="facts">
          <dt>Shown now</dt>
          <dd>{cut ? stopText(cut) : 'nothing'}</dd>
          <dt>New</dt>
          <dd>
            <strong>{wanted === 'none' ? 'nothing more is cut from this drum' : stopText(wanted)}</strong>
          </dd>
        </dl>
      </div>
      <HandButton letter="N" onPress={onTake}>
        The line stands: take the new cut
      </HandButton>
    </section>
  )
}
