import { type JudgedFigure, LOT_QUANTITIES, type LotLimit, type LotVerdict } from '../../ledger/lot-test.ts'
import { figureText } from '../../quantity/length-text.ts'

const DECIMALS = 4

function limitText(limit: LotLimit | null): string {
  if (!limit) return 'no limit here: above the highest frequency of the type'
  const [least, most] = [limit.least, limit.most].map((l) => (l === null ? null : figureText(l, DECIMALS)))
  if (least !== null && most !== null) return `${least} to ${most}`
  return least === null ? `at most ${most}` : `at least ${least}`
}

function rowHead({ test }: JudgedFigure): string {
  const { word } = LOT_QUANTITIES[test.quantity]
  return test.fMhz === null ? word : `${word} at ${figureText(test.fMhz)} MHz`
}

/** Figures of a lot with what each is held against and where that is from. */
export function JudgedTable({ verdict }: { verdict: LotVerdict }) {
  return (
    <>
      <div className="table-scroll">
        <table className="sums judged">
          <thead>
            <tr>
              <th scope="col">Measured</th>
              <th scope="col">Figure</th>
              <th scope="col">Limit</th>
              <th scope="col">From</th>
              <th scope="col">So</th>
            </tr>
          </thead>
          <tbody>
            {verdict.figures.map((f, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: rows may be alike
              <tr key={i}>
                <th scope="row">{rowHead(f)}</th>
                <td>
                  {figureText(f.test.value, DECIMALS)} {LOT_QUANTITIES[f.test.quantity].unit}
                </td>
                <td>{limitText(f.limit)}</td>
                <td className="small quiet">{f.limit?.source ?? '—'}</td>
                <td>{f.passed === null ? '? not judged' : f.passed ? '✓ passes' : '✗ fails'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {verdict.missing.length > 0 && (
        <p className="small">
          Not measured: {verdict.missing.map((q) => LOT_QUANTITIES[q].word.toLowerCase()).join(', ')}.
        </p>
      )}
    </>
  )
}
