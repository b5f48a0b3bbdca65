import type { Market } from '../../hall/market.ts'
import type { CounterQuestion, GuardRule, KnownCounter } from '../../measure/counter-report.ts'
import { figureText } from '../../quantity/length-text.ts'
import { eur } from '../format.ts'
import { percentText } from './counter-text.ts'

const RULES: Record<Market['lengthRule'], string> = {
  never_short: 'none short',
  no_unit_overstated: 'no printed unit overstated',
  batch_mean_2pct: 'mean of a batch, none short by more than 2 %',
}

const LAWS: [GuardRule, string][] = [
  ['statutory_ca219', 'Canada, s. 219'],
  ['statutory_mid009_I', 'MI-009 class I'],
  ['statutory_mid009_II', 'MI-009 class II'],
  ['statutory_mid009_III', 'MI-009 class III'],
]

interface Props {
  known: KnownCounter
  question: CounterQuestion
  markets: Market[]
}

/** The guard that each rule implies on corrected lengths, what it costs a year and where the uncertainty comes from. */
export function CounterGuards({ known, question, markets }: Props) {
  const { guardRatio, budget, overLength, worstCable } = known
  return (
    <section className="stack" aria-labelledby="guards-head">
      <h2 id="guards-head">Guard that each market’s rule implies</h2>
      <p className="wraps">
        On corrected lengths, for {figureText(budget.pieceM, 2)} m of {worstCable} (the cable that needs
        most): the error itself is taken out by the correction and is not in the guard again. In force:{' '}
        {percentText(question.guardInForceRatio)}.
      </p>
      <div className="money">
        <table className="sums">
          <caption className="spoken">Guard by market</caption>
          <thead>
            <tr>
              <th scope="col">Market and its rule</th>
              <td>cut to order</td>
              <td>prepacked lots</td>
            </tr>
          </thead>
          <tbody>
            {markets.map((m) => (
              <tr key={m.market}>
                <th scope="row" className="wraps">
                  {m.name}: {RULES[m.lengthRule]}
                </th>
                <td>{percentText(guardRatio.none_short)}</td>
                <td>
                  {m.lengthRule === 'batch_mean_2pct' ? percentText(guardRatio.batch_mean_prepacked) : '–'}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
        <LawTable known={known} />
      </div>
      <p className="wraps">
        Over-length at the guard for none short costs <strong>{eur(overLength.eurPerYear)}</strong> a year on{' '}
        {figureText(overLength.metresPerYear, 0)} m; half the uncertainty would save{' '}
        <strong>{eur(overLength.savedByHalvingEurPerYear)}</strong>.
      </p>
      <details>
        <summary>Where the uncertainty comes from, and the guard by length and by cable</summary>
        <Budget known={known} />
      </details>
    </section>
  )
}

function LawTable({ known }: { known: KnownCounter }) {
  const classes = LAWS.map(([rule, name]) => ({
    name,
    rule,
    verdict: known.law.find((v) => `statutory_${v.rule.replace('-', '_')}` === rule),
  }))
  return (
    <table className="sums">
      <caption className="spoken">Laws for the instrument</caption>
      <thead>
        <tr>
          <th scope="col">Law for instruments</th>
          <td>guard</td>
          <td>the uncorrected counter lies within it</td>
        </tr>
      </thead>
      <tbody>
        {classes.map(({ name, rule, verdict }) => (
          <tr key={rule}>
            <th scope="row">{name}</th>
            <td>{percentText(known.guardRatio[rule])}</td>
            <td>{verdict ? `with ${percentText(verdict.withinProbability, 1)}` : 'not known'}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function Budget({ known }: { known: KnownCounter }) {
  const { budget, guardByLength, guardByCable } = known
  return (
    <div className="money">
      <table className="sums">
        <caption>Uncertainty budget of one piece (GUM)</caption>
        <tbody>
          {budget.terms.map((t) => (
            <tr key={t.name}>
              <th scope="row" className="wraps">
                {t.name}{' '}
                <span className="quiet">
                  ({t.source}; {t.reach})
                </span>
              </th>
              <td>{percentText(t.standard, 4)}</td>
            </tr>
          ))}
        </tbody>
        <tfoot>
          <tr>
            <th scope="row">
              Together,{' '}
              {Number.isFinite(budget.piece.freedom)
                ? `${figureText(budget.piece.freedom, 1)} effective degrees of freedom`
                : 'no end of degrees of freedom'}
            </th>
            <td>{percentText(budget.piece.standard, 4)}</td>
          </tr>
        </tfoot>
      </table>
      <table className="sums">
        <caption>Guard for none short</caption>
        <tbody>
          {guardByLength.map((g) => (
            <tr key={g.pieceM}>
              <th scope="row">pieces of {figureText(g.pieceM, 2)} m</th>
              <td>{percentText(g.noneShortRatio)}</td>
            </tr>
          ))}
          {guardByCable.map((g) => (
            <tr key={g.cable}>
              <th scope="row">{g.cable}</th>
              <td>{percentText(g.noneShortRatio)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}
