import { type LeadChart, leadChart } from '../../drawing/chart-lead.ts'
import type { JudgedRule } from '../../lead/judge-rule.ts'
import { figureText } from '../../quantity/length-text.ts'
import type { JudgedLead, MeasuredFile } from '../../works/judged-lead.ts'
import { Allowed } from '../access/allowed.tsx'
import { many } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'
import { TEXT_SIZE_PX } from '../parts/drawing-size.ts'
import { Figure } from '../parts/figure.tsx'
import { Near } from '../parts/near.tsx'
import { CertificateButton } from './certificate-button.tsx'
import { JudgePlaces } from './judge-places.tsx'
import type { AskedLead } from './judge-question.ts'

const CHART_PX = 300
const CHARTS: LeadChart[] = ['loss', 'return loss', 'places']

interface Props {
  judged: JudgedLead
  asked: AskedLead
  file: MeasuredFile
}

export function JudgeAnswer({ judged, asked, file }: Props) {
  const { judgement, spec, tempC } = judged
  const { direct } = judgement
  return (
    <>
      <section className="stack" aria-label="The judgement">
        <Verdict judged={judged} />
        <Allowed deed="test-piece">
          <CertificateButton asked={asked} file={file} verdict={judgement.verdict} />
        </Allowed>
        <DataTable
          caption="Rules"
          columns={COLUMNS}
          rows={judgement.rules}
          keyOf={(rule) => rule.name}
          lines={3}
        />
        <p className="small quiet wraps">
          {figureText(spec.lengthM, 4)} m between reference planes, {figureText(spec.cutM, 4)} m of{' '}
          {spec.cable.cable} between cut faces, {spec.a.part} and {spec.b.part}, {tempC} °C. Rule:{' '}
          {judgement.guardRule}. U {judgement.instrument.lossDb} dB of loss, {judgement.instrument.gamma} of
          reflection.
        </p>
      </section>
      <section className="stack" aria-labelledby="measured-head">
        <h2 id="measured-head">Measured against the limit</h2>
        {CHARTS.map((chart) => (
          <Near key={chart} heightPx={CHART_PX}>
            {(width) => {
              const size = { width: Math.max(480, width), height: CHART_PX, textSize: TEXT_SIZE_PX }
              const drawing = leadChart(chart, judgement, spec.lengthM, size)
              return (
                drawing && (
                  <>
                    <h3>{drawing.title}</h3>
                    <Figure drawing={drawing} told />
                  </>
                )
              )
            }}
          </Near>
        ))}
      </section>
      <JudgePlaces judgement={judgement} />
      <section className="stack" aria-labelledby="dc-head">
        <h2 id="dc-head">Tested with direct current, not in this file</h2>
        <p>
          Continuity at most {direct.innerMilliohm.toFixed(1)} mΩ inner and {direct.outerMilliohm.toFixed(1)}{' '}
          mΩ outer; insulation at least {direct.insulationMegohm} MΩ; high voltage on the core{' '}
          {direct.hipotKvDc} kV DC.
        </p>
        <p className="banner">{direct.hipotCaution}</p>
        <ul className="figure-list small">
          {judgement.notes.map((note) => (
            <li key={note} className="wraps">
              {note}
            </li>
          ))}
        </ul>
      </section>
    </>
  )
}

function Verdict({ judged: { judgement } }: { judged: JudgedLead }) {
  const { rules, verdict } = judgement
  const failed = rules.filter((r) => r.pass === false)
  const open = rules.filter((r) => r.pass === null)
  if (verdict === 'pass')
    return (
      <p className="sentence" role="status">
        <strong>✓ It passes.</strong> All {rules.length} rules are met, each with its measurement uncertainty.
      </p>
    )
  if (verdict === 'fail')
    return (
      <p className="sentence" role="status">
        <strong>✕ It fails.</strong> {many(failed.length, 'rule')} not met:{' '}
        {failed.map((r) => r.name).join(', ')}.
      </p>
    )
  return (
    <p className="sentence" role="status">
      <strong>– Not proven.</strong> Nothing fails, but{' '}
      {open.length > 0
        ? `${open.map((r) => r.name).join(', ')} could not be judged.`
        : 'the instrument proves nothing; see the notes.'}
    </p>
  )
}

const MARKS = { pass: '✓ pass', fail: '✕ fail', open: '– not proven' }

function figure(value: number | null, rule: JudgedRule): string {
  return value === null ? '–' : `${value.toFixed(rule.unit === 'm' ? 4 : 3)} ${rule.unit}`
}

const COLUMNS: Column<JudgedRule>[] = [
  { key: 'rule', head: 'Rule', track: 'minmax(140px, 1.4fr)', cell: (r) => <strong>{r.name}</strong> },
  {
    ...{ key: 'result', head: 'Result', track: 'minmax(96px, 0.8fr)' },
    cell: (r) => (
      <span className={r.pass === false ? 'state-word plum' : 'state-word'}>
        {MARKS[r.pass === null ? 'open' : r.pass ? 'pass' : 'fail']}
      </span>
    ),
  },
  {
    ...{ key: 'measured', head: 'Measured', track: 'minmax(110px, 1fr)', number: true },
    cell: (r) => `${figure(r.measured, r)}${r.atMhz === null ? '' : ` at ${figureText(r.atMhz, 1)} MHz`}`,
  },
  {
    ...{ key: 'limit', head: 'Specification limit', track: 'minmax(96px, 0.8fr)', number: true },
    cell: (r) => figure(r.limit, r),
  },
  {
    ...{ key: 'accept', head: 'Acceptance limit', track: 'minmax(96px, 0.8fr)', number: true },
    cell: (r) => figure(r.acceptance, r),
  },
  {
    ...{ key: 'risk', head: 'Risk of a false pass', track: 'minmax(96px, 0.8fr)', number: true },
    cell: (r) =>
      r.falsePassPct === null
        ? '–'
        : r.falsePassPct < 0.01
          ? 'below 0.01 %'
          : `${figureText(r.falsePassPct, 2)} %`,
  },
  { key: 'says', head: 'In words', track: 'minmax(160px, 2fr)', wide: true, cell: (r) => r.says },
]
