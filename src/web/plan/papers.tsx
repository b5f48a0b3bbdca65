const PAPERS = [
  { file: 'run-sheets.pdf', word: 'Run sheets', form: 'PDF, one for each mounting' },
  { file: 'labels.pdf', word: 'Labels', form: 'PDF, one for each piece' },
  { file: 'plan.csv', word: 'Cut list', form: 'CSV' },
  { file: 'unserved.csv', word: 'Not served', form: 'CSV' },
  { file: 'plan.json', word: 'Plan for machines', form: 'JSON' },
] as const

/** The documents of the plan. */
export function Papers() {
  return (
    <section className="stack close" aria-labelledby="papers-head">
      <h2 id="papers-head">Papers</h2>
      <div className="row">
        <a className="button" href="/api/plan/pack.zip" download>
          Download the pack
        </a>
        <ul className="papers">
          {PAPERS.map(({ file, word, form }) => (
            <li key={file}>
              <a href={`/api/plan/files/${file}`} download>
                {word}
              </a>{' '}
              <span className="small quiet">{form}</span>
            </li>
          ))}
        </ul>
      </div>
    </section>
  )
}
