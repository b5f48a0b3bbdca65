import { useMemo, useState } from 'react'
import { planNumber } from '../../dispatch/paper-meta.ts'
import { runSheets } from '../../dispatch/run-sheet.ts'
import { settingRows, settingWarnings } from '../../line/setting-rows.ts'
import type { PlanAnswer } from '../../works/api.ts'
import { CutTable } from './cut-table.tsx'
import { InputsPanel } from './inputs-panel.tsx'
import { LimitTable } from './limit-table.tsx'
import type { RecordedLines } from './line-records.ts'
import { goToMounting } from './line-view.tsx'
import { MountingChooser } from './mounting-chooser.tsx'
import { type TriedSettings, useTriedSettings } from './mounting-settings-state.ts'
import { PutupFigure } from './putup-figure.tsx'
import { SettingTable } from './setting-table.tsx'
import { SettingsSentence } from './settings-sentence.tsx'
import { ShiftDangers } from './shift-dangers.tsx'

interface Props {
  answer: PlanAnswer
  lines: RecordedLines
  wanted: number
}

/** One mounting of the plan: dangers, what to do now, how it is set and why. */
export function MountingView({ answer, lines, wanted }: Props) {
  const { plan } = answer
  const sheets = useMemo(() => {
    const meta = { planNumber: planNumber(answer.planId), madeAt: answer.madeAt }
    return runSheets(lines.works, plan, meta)
  }, [answer, lines, plan])
  const number = Math.min(wanted, plan.mountings.length)
  const sheet = sheets[number - 1]
  if (!sheet)
    return (
      <p className="sentence">
        <strong>Nothing to run.</strong> The plan mounts no drum.
      </p>
    )
  return (
    <>
      <ShiftDangers dangers={sheet.dangers} />
      {answer.stale && (
        <p className="banner">
          <strong>The works has changed since this plan was made.</strong> These settings and presets are for
          the works as it was then, as on its run sheets. Plan again before anything is run by them.
        </p>
      )}
      <MountingChooser sheets={sheets} number={number} onChoose={goToMounting} />
      <ChosenMounting key={number} {...{ answer, lines, number, sheet }} />
    </>
  )
}

interface Chosen {
  answer: PlanAnswer
  lines: RecordedLines
  number: number
  sheet: ReturnType<typeof runSheets>[number]
}

function ChosenMounting({ answer, lines, number, sheet }: Chosen) {
  const { mountings } = answer.plan
  const [line, setLine] = useState(sheet.mounting.line)
  const tried = useTriedSettings(lines.works, mountings, number, line)
  const links = <PrintLinks number={number} />
  if (!tried)
    return (
      <>
        <p className="sentence">
          <strong>
            Mounting {number} is cut at {sheet.mounting.line}, a bench:
          </strong>{' '}
          nothing to set, and no spark tester. What is cut needs an earlier spark test on record.
        </p>
        {links}
      </>
    )
  return (
    <>
      <Settings {...{ tried, sheet, lines }}>{links}</Settings>
      <InputsPanel tried={tried} works={lines.works} sheet={sheet} line={line} onLine={setLine} />
    </>
  )
}

function Settings(props: {
  tried: TriedSettings
  sheet: Chosen['sheet']
  lines: RecordedLines
  children: React.ReactNode
}) {
  const { tried, sheet, lines } = props
  const { settings, refused } = tried
  const warnings = useMemo(() => (settings ? settingWarnings(settings) : []), [settings])
  const rows = useMemo(() => (settings ? settingRows(settings) : []), [settings])
  return (
    <>
      <section className="stack" aria-label="How it is run">
        {settings && <SettingsSentence settings={settings} changed={tried.changed} />}
        {refused && (
          <p className="banner bad wraps" role="alert">
            <strong>This cannot be run.</strong> {refused}
          </p>
        )}
        {warnings.map((text) => (
          <p className="banner wraps" role="note" key={text}>
            <strong>Mind:</strong> {text}
          </p>
        ))}
      </section>
      {settings && (
        <>
          {props.children}
          <PutupFigure works={lines.works} sheet={sheet} typed={tried.typed} />
          <SettingTable rows={rows} />
          <CutTable sheet={sheet} presets={settings.presets} />
          <LimitTable limits={settings.limits} />
        </>
      )}
    </>
  )
}

function PrintLinks({ number }: { number: number }) {
  return (
    <p className="row">
      <a className="button" href={`/api/plan/files/run-sheets.pdf?mounting=${number}`} download>
        Run sheet {number}, PDF
      </a>
      <a className="button" href="/api/plan/files/run-sheets.pdf" download>
        All run sheets, PDF
      </a>
    </p>
  )
}
