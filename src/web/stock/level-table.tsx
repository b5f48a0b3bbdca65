import type { LevelStanding } from '../../ledger/minimum-levels.ts'

function soText({ short, coming, have, level }: LevelStanding): string {
  if (have >= level.least) return '✓ met'
  const comes = coming > 0 ? `${coming} ordered for the shelf` : ''
  if (short === 0) return `… ${comes}`
  return `✗ ${short} short${comes ? `, ${comes}` : ''}`
}

/** Pieces on the shelf against the least that the works wants there. */
export function LevelTable({ levels }: { levels: readonly LevelStanding[] }) {
  return (
    <section className="stack" aria-labelledby="levels-head">
      <h2 id="levels-head">Minimum levels</h2>
      <div className="table-scroll">
        <table className="sums">
          <thead>
            <tr>
              <th scope="col">Piece</th>
              <th scope="col">Here</th>
              <th scope="col">Least</th>
              <th scope="col">So</th>
            </tr>
          </thead>
          <tbody>
            {levels.map((standing) => {
              const { cable, putup, lengthTyped, unit, least } = standing.level
              return (
                <tr key={`${cable} ${putup} ${lengthTyped} ${unit}`}>
                  <th scope="row">
                    {cable}, {lengthTyped} {unit} on {putup}
                  </th>
                  <td>{standing.have}</td>
                  <td>{least}</td>
                  <td>{soText(standing)}</td>
                </tr>
              )
            })}
          </tbody>
        </table>
      </div>
    </section>
  )
}
