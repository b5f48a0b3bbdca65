import { readFaults } from '../../works/receipt-text.ts'
import { many } from '../format.ts'
import type { GoodsInDraft } from './goods-in-draft.ts'

const SEVERITY = { cut_out: 'cut out', downgrade: 'downgrade', note: 'note' }

interface Props {
  draft: GoodsInDraft
  onChange: (part: Partial<GoodsInDraft>) => void
}

/** Rows of faults as typed, and how they are taken over. */
export function FaultRows({ draft, onChange }: Props) {
  const { faults } = readFaults(draft.faults)
  return (
    <>
      <div className="field">
        <label htmlFor="goods-in-faults">Rows of faults</label>
        <textarea
          id="goods-in-faults"
          rows={5}
          value={draft.faults}
          maxLength={50_000}
          spellCheck={false}
          aria-describedby="goods-in-faults-hint"
          onChange={(event) => onChange({ faults: event.target.value })}
        />
        <span id="goods-in-faults-hint" className="small quiet wraps">
          One a row, pasted or typed: mark from; mark to; code (SPK, LUMP, PRT, SCF, JNT, SRL, WET); severity
          (cut_out, downgrade, note); words. Or with the headings of faults.csv. Empty where there is none.
        </span>
      </div>
      <p role="status">
        <strong>
          {faults.length === 0 ? 'No fault is taken over.' : `${many(faults.length, 'fault')}:`}
        </strong>
      </p>
      {faults.length > 0 && (
        <ul>
          {faults.map((f, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: rows may be alike, so their place is part of what they are
            <li key={`${i} ${f.markFrom}`} className="wraps">
              {f.code}{' '}
              {f.markFrom === f.markTo ? `at mark ${f.markFrom}` : `from mark ${f.markFrom} to ${f.markTo}`},{' '}
              {SEVERITY[f.severity]}
              {f.what ? `: ${f.what}` : ''}
            </li>
          ))}
        </ul>
      )}
    </>
  )
}
