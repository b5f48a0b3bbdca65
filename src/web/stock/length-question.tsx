import { type ReceiptHow, usualWitness } from '../../ledger/receipt.ts'
import { agreedLength, type Witness } from '../../measure/witness.ts'
import { lengthM, supplyM } from '../format.ts'
import type { GoodsInDraft } from './goods-in-draft.ts'
import type { ReadyReceipt } from './use-receipt.ts'

const WORDS: Record<ReceiptHow, string> = { book: 'the note', marks: 'the marks', weight: 'the weight' }

/** What each witness says of the length, whether they agree, and by which the drum is booked. */
export function LengthQuestion(props: {
  draft: GoodsInDraft
  ready: ReadyReceipt
  onChange: (part: Partial<GoodsInDraft>) => void
}) {
  const { witnesses, how, command, wrong } = props.ready
  const all = Object.entries(witnesses) as [ReceiptHow, Witness][]
  const usual = usualWitness(witnesses)
  if (all.length === 0) return <p>{wrong[0]}</p>
  return (
    <>
      <p role="status" className="wraps">
        <strong>{verdict(all.map(([, w]) => w))}</strong>
      </p>
      <fieldset className="stack choice-list">
        <legend>Book it by</legend>
        {all.map(([id, w]) => (
          <label key={id} className="row choice">
            <input
              type="radio"
              name="goods-in-how"
              checked={how === id}
              onChange={() => props.onChange({ how: id })}
            />
            <span className="wraps">
              <strong>
                {WORDS[id]}: {supplyM(w.lengthUm)}
              </strong>{' '}
              ± {lengthM(Math.ceil(2 * w.standardUm))} (two standard deviations)
              {id === usual && ', as the works usually does'}
              <br />
              <span className="small quiet">{w.from}</span>
            </span>
          </label>
        ))}
      </fieldset>
      {command && command.faults.length > 0 && (
        <ul className="small plain-list">
          {command.faults.map((f, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: the order of the rows does not change
            <li key={i}>
              {f.code} lies {lengthM(f.fromUm)} from the outer end, ± {lengthM(f.uncUm)}
            </li>
          ))}
        </ul>
      )}
    </>
  )
}

function verdict(witnesses: Witness[]): string {
  const found = agreedLength(witnesses)
  const first = witnesses[0]
  if (witnesses.length === 1 && first) return 'One witness only: nothing to hold it against.'
  if (found.agree) return `All ${witnesses.length} witnesses agree on ${supplyM(found.lengthUm ?? 0)}.`
  const names: Record<string, string> = WORDS
  if (found.quarrels && found.offUm !== null) {
    const longer = found.offUm > 0 ? 'more' : 'less'
    return `They quarrel: by ${names[found.quarrels] ?? found.quarrels} it is ${lengthM(Math.abs(found.offUm))} ${longer} than the others agree on.`
  }
  const apart = Math.max(...witnesses.map((w) => w.lengthUm)) - Math.min(...witnesses.map((w) => w.lengthUm))
  return `They quarrel: they lie ${lengthM(apart)} apart, and nothing tells which is wrong. Book by the shorter, or measure again.`
}
