import type { JobLimit } from '../../lead/job-limits.ts'
import type { JobSheet } from '../../lead/job-sheet.ts'
import type { KitNeed } from '../../lead/kit.ts'
import type { ToolNeed } from '../../lead/tool-list.ts'
import { figureText } from '../../quantity/length-text.ts'
import { count, day } from '../format.ts'
import { type Column, DataTable } from '../parts/data-table.tsx'

/** Kit with what is short, tools with what is due, limits in two figures. */
export function JobTables({ sheet }: { sheet: JobSheet }) {
  const short = sheet.kit.filter((need) => (need.short ?? 0) > 0)
  const unknown = sheet.kit.some((need) => need.inStock === null)
  const trouble = sheet.tools.filter((tool) => tool.trouble !== null)
  const { limits } = sheet
  return (
    <>
      <section className="stack close" aria-labelledby="kit-head">
        <h2 id="kit-head">
          Kit:{' '}
          {short.length > 0
            ? `${short.map((need) => need.part).join(', ')} short`
            : unknown
              ? 'stock is not recorded'
              : 'all there'}
        </h2>
        <DataTable caption="Parts of the kit" columns={KIT} rows={sheet.kit} keyOf={(need) => need.part} />
      </section>
      <section className="stack close" aria-labelledby="tools-head">
        <h2 id="tools-head">
          Tools: {trouble.length === 0 ? 'all there and in date' : `${trouble.length} to settle`}
        </h2>
        <DataTable
          caption="Tools needed"
          columns={TOOLS}
          rows={sheet.tools}
          keyOf={(tool) => `${tool.kind} ${tool.what}`}
        />
      </section>
      <section className="stack close" aria-labelledby="limits-head">
        <h2 id="limits-head">Limits of one lead</h2>
        <DataTable
          caption="Limits, specified and accepted"
          columns={LIMITS}
          rows={limits.list}
          keyOf={(limit) => limit.name}
          lines={4}
        />
        <p className="small quiet wraps">
          {limits.rule}. {limits.notes.join(' ')}
        </p>
      </section>
    </>
  )
}

const KIT: Column<KitNeed>[] = [
  { key: 'part', head: 'Part', track: 'minmax(120px, 1fr)', cell: (k) => <strong>{k.part}</strong> },
  { key: 'what', head: 'What', track: 'minmax(120px, 1.4fr)', cell: (k) => k.what },
  { key: 'needed', head: 'Needed', track: '72px', number: true, cell: (k) => count(k.needed) },
  {
    ...{ key: 'stock', head: 'In stock', track: '96px', number: true },
    cell: (k) => (k.inStock === null ? 'not recorded' : count(k.inStock)),
  },
  { key: 'earlier', head: 'Earlier lines', track: '96px', number: true, cell: (k) => count(k.earlierLines) },
  {
    ...{ key: 'short', head: 'Short', track: '88px', number: true },
    cell: (k) =>
      k.short === null ? (
        'not known'
      ) : k.short > 0 ? (
        <strong className="wrong">! {count(k.short)}</strong>
      ) : (
        'none'
      ),
  },
  {
    ...{ key: 'take', head: 'Take, oldest first', track: 'minmax(120px, 1.4fr)', wide: true },
    cell: (k) => k.take.map(({ lot, pieces }) => `${count(pieces)} of lot ${lot}`).join(', ') || '–',
  },
]

const TOOLS: Column<ToolNeed>[] = [
  {
    key: 'kind',
    head: 'Tool',
    track: 'minmax(96px, 0.8fr)',
    cell: (t) => <strong>{t.kind.replace('_', ' ')}</strong>,
  },
  { key: 'what', head: 'What it must be', track: 'minmax(160px, 2fr)', cell: (t) => t.what },
  {
    ...{ key: 'set', head: 'Set to', track: '96px', number: true },
    cell: (t) => (t.settingNm === null ? '–' : `${figureText(t.settingNm, 2)} N m`),
  },
  {
    ...{ key: 'tools', head: 'Which, due for calibration', track: 'minmax(160px, 1.6fr)' },
    cell: (t) =>
      t.tools === null
        ? 'not recorded'
        : t.tools
            .map(({ tool, calibrationDueDate: due, overdue }) =>
              due === null ? tool : `${tool} ${overdue ? 'overdue since' : 'due'} ${day(due)}`,
            )
            .join(', ') || 'none',
  },
  {
    ...{ key: 'trouble', head: 'What is wrong', track: 'minmax(140px, 1.2fr)', wide: true },
    cell: (t) => (t.trouble === null ? '–' : <span className="wrong">! {t.trouble}</span>),
  },
]

const ends = (least: number | null, most: number | null, unit: string) => {
  const figure = (value: number) => figureText(value, 3)
  if (least !== null && most !== null) return `${figure(least)} to ${figure(most)} ${unit}`
  if (least !== null) return `at least ${figure(least)} ${unit}`
  return most === null ? '–' : `at most ${figure(most)} ${unit}`
}

const LIMITS: Column<JobLimit>[] = [
  {
    ...{ key: 'name', head: 'What', track: 'minmax(140px, 1.2fr)' },
    cell: (l) => (
      <strong>
        {l.name}
        {l.atMhz === null ? '' : ` at ${figureText(l.atMhz, 1)} MHz`}
      </strong>
    ),
  },
  {
    ...{ key: 'spec', head: 'Specification', track: 'minmax(140px, 1fr)' },
    cell: (l) => ends(l.least, l.most, l.unit),
  },
  {
    ...{ key: 'accept', head: 'Accepted', track: 'minmax(140px, 1fr)' },
    cell: (l) => ends(l.acceptLeast, l.acceptMost, l.unit),
  },
  { key: 'source', head: 'Source', track: 'minmax(160px, 2fr)', wide: true, cell: (l) => l.source },
]
