import type { RunSheet } from '../../dispatch/run-sheet.ts'
import type { LineWorks } from '../../line/line-works.ts'
import type { MountingSettings } from '../../line/mounting-settings.ts'
import { INPUT_FACTS, type RunInput } from '../../line/run-inputs.ts'
import { figureText } from '../../quantity/length-text.ts'
import { inputText, type TriedSettings } from './mounting-settings-state.ts'

/** What is changed most often; every other input stands behind one press. */
const FIRST: RunInput[] = [
  'speedMaxMPerMin',
  'accelMPerS2',
  'tensionN',
  'takeupBarrelMm',
  'payoffDriven',
  'sparkKv',
  'electrodeMm',
  'sparkHz',
]
const OTHERS = (Object.keys(INPUT_FACTS) as RunInput[]).filter((name) => !FIRST.includes(name))

interface Props {
  tried: TriedSettings
  works: LineWorks
  sheet: RunSheet
  line: string
  onLine: (line: string) => void
}

/** Change an input and see at once what follows; nothing is stored. */
export function InputsPanel({ tried, works, sheet, line, onLine }: Props) {
  const planned = sheet.mounting.line
  const { cable } = sheet.usable.drum
  const odMm = works.cables.find((c) => c.cable === cable)?.odMm ?? 0
  const lines = works.site.lines.filter((l) => odMm >= l.odMinMm && odMm <= l.odMaxMm)
  const changed = tried.changed || line !== planned
  const cannotWind = putupsNotWound(sheet, works, line)
  const sourceOf = (name: RunInput) =>
    works.lineSettings?.find((s) => s.line === line && s.input === name)?.source ?? INPUT_FACTS[name].source
  return (
    <section className="stack what-if" aria-labelledby="what-if-head">
      <h2 id="what-if-head">What if: change an input</h2>
      <p className="small quiet">
        Everything above follows at once. Nothing is stored, and run sheets keep to the works: what is to last
        is changed in the works folder.
      </p>
      {tried.asSet && tried.settings && changed && <Followed before={tried.asSet} after={tried.settings} />}
      {cannotWind.length > 0 && (
        <p className="banner wraps" role="note">
          <strong>
            {line} does not wind {cannotWind.join(', ')}
          </strong>{' '}
          (lines.json takeup_putups): these figures would hold for another put-up of the same barrel only.
        </p>
      )}
      {tried.refused && (
        <p className="wrong wraps" role="status">
          {tried.refused}
        </p>
      )}
      <div className="inputs">
        <div className="field">
          <label htmlFor="input-line">Line</label>
          <select id="input-line" value={line} onChange={(event) => onLine(event.target.value)}>
            {lines.map(({ id }) => (
              <option key={id} value={id}>
                {id}
                {id === planned ? ' (planned)' : ''}
              </option>
            ))}
          </select>
        </div>
        {FIRST.map((name) => (
          <InputField key={name} name={name} tried={tried} source={sourceOf(name)} />
        ))}
      </div>
      <details>
        <summary>All other inputs, with the source of each</summary>
        <div className="inputs">
          {OTHERS.map((name) => (
            <InputField key={name} name={name} tried={tried} source={sourceOf(name)} />
          ))}
        </div>
      </details>
      <div>
        <button
          type="button"
          className="button"
          aria-disabled={!changed}
          onClick={() => {
            tried.reset()
            onLine(planned)
          }}
        >
          Back to the works
        </button>
      </div>
    </section>
  )
}

function putupsNotWound({ mounting }: RunSheet, { site }: LineWorks, line: string): string[] {
  const winds = new Set(site.lines.find((l) => l.id === line)?.takeupPutups ?? [])
  const wanted = mounting.intervals.flatMap((x) => ('putup' in x && x.putup !== null ? [x.putup] : []))
  return [...new Set(wanted)].filter((putup) => !winds.has(putup))
}

function InputField({ name, tried, source }: { name: RunInput; tried: TriedSettings; source: string }) {
  const fact = INPUT_FACTS[name]
  const base = inputText(tried.prepared.inputs[name])
  const typed = tried.typed[name]
  const id = `input-${name}`
  return (
    <div className={typed === undefined ? 'field' : 'field changed'}>
      <label htmlFor={id}>
        {fact.name}
        {fact.unit && `, ${fact.unit}`}
      </label>
      {name === 'payoffDriven' ? (
        <select id={id} value={typed ?? base} onChange={(event) => tried.type(name, event.target.value)}>
          <option value="yes">yes</option>
          <option value="no">no</option>
        </select>
      ) : (
        <input
          id={id}
          inputMode="decimal"
          autoComplete="off"
          maxLength={20}
          value={typed ?? base}
          placeholder="not known"
          aria-describedby={`${id}-source`}
          onChange={(event) => tried.type(name, event.target.value)}
        />
      )}
      <p className="small quiet wraps" id={`${id}-source`}>
        {typed === undefined ? source : `changed; the works has ${base === '' ? 'no figure' : base}`}
      </p>
    </div>
  )
}

const figure = (value: number | null, unit: string, decimals = 1) =>
  value === null ? 'not known' : `${figureText(value, decimals)} ${unit}`

function Followed({ before, after }: { before: MountingSettings; after: MountingSettings }) {
  const rows: [string, (s: MountingSettings) => string][] = [
    ['Speed', (s) => figure(s.speedMPerMin, 'm/min')],
    ['Tension', (s) => figure(s.tensionN, 'N')],
    ['Most in the ramps', (s) => figure(s.mostN, 'N')],
    ['Ramp up', (s) => figure(s.rampMPerS2, 'm/s²', 3)],
    ['Cycles in the electrode', (s) => figure(s.spark.dwellCycles, '')],
    ['Not spark tested', (s) => figure(s.spark.untestedM, 'm', 2)],
    ['Whole mounting', (s) => figure(s.minutes, 'min')],
  ]
  return (
    <table className="sums compare" data-testid="followed">
      <caption className="spoken">What follows from the change</caption>
      <thead>
        <tr>
          <td />
          <th scope="col">the works, on {before.line}</th>
          <th scope="col">with the change, on {after.line}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(([name, of]) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>{of(before)}</td>
            <td>{of(before) === of(after) ? of(after) : <strong>{of(after)}</strong>}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
