import { type LengthUm, UM_PER_M } from '../../../../quantity/length.ts'
import type { FloorDrum } from '../../../../works/floor-api.ts'
import { eur, supplyM } from '../../../format.ts'
import { HandButton } from '../hand-button.tsx'
import { Panel } from './panel.tsx'

/** Standard deviations within which book and measurement are of the same drum: ±3 after Shewhart (NIST/SEMATECH e-Handbook 6.3.2.2). */
const SAME_DRUM_SD = 3

/** Whether a rest is further from the book than both can be wrong by; `uncUm`: one standard deviation of the rest. */
export function isFarFromBook(drum: FloorDrum, restUm: LengthUm, uncUm: number): boolean {
  return Math.abs(restUm - drum.restUm) > SAME_DRUM_SD * Math.hypot(drum.restUncUm, uncUm)
}

interface Props {
  name: string
  mounted: FloorDrum
  restUm: LengthUm
  onYes: () => void
  onNo: () => void
}

/** A rest that the book cannot be so wrong about may be that of another drum: it is asked, and booked if it is not. */
export function RestQuestion({ name, mounted, restUm, onYes, onNo }: Props) {
  const { drum, restUm: bookUm, eurPerM, cable } = mounted
  const apartUm = Math.abs(bookUm - restUm)
  const worth = eurPerM > 0 ? `, worth ${eur((apartUm / UM_PER_M) * eurPerM)}` : ''
  const says = `The book says ${supplyM(apartUm)} ${bookUm > restUm ? 'more' : 'less'}${worth}.`
  return (
    <Panel name={name} question={`${says} Wrong drum?`} onClose={onNo}>
      <div className="row">
        <HandButton letter="N" onPress={onNo}>
          Wrong drum: book nothing
        </HandButton>
        <HandButton letter="I" onPress={onYes}>
          It is {drum}: book it
        </HandButton>
        <p className="quiet wraps grow">
          Read the number on the drum: it should be {drum}, {cable}. If it is another, put {drum} away (W) and
          scan the drum that is there. If it is {drum}, the {supplyM(apartUm)} are booked as an error of the
          book.
        </p>
      </div>
    </Panel>
  )
}
