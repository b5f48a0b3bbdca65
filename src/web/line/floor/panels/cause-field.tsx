import { SCRAP_CAUSES, type ScrapCause } from '../../../../ledger/scrap-cause.ts'
import { SelectField } from '../../../parts/select-field.tsx'

const CAUSES = SCRAP_CAUSES.map((cause) => [cause, cause] as const)

/** Why a length or a piece goes to scrap. */
export function CauseField(props: { cause: ScrapCause; onCause: (cause: ScrapCause) => void }) {
  return <SelectField label="Cause" value={props.cause} options={CAUSES} onValue={props.onCause} />
}
