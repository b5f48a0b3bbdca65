import { useRef } from 'react'
import { useOutbox } from '../../outbox/use-outbox.ts'
import { useOlderPage } from '../../page-version.ts'
import { Refusal } from '../../parts/refusal.tsx'
import { Skeleton } from '../../parts/skeleton.tsx'
import { ShiftDangers } from '../shift-dangers.tsx'
import { ChangedCut } from './changed-cut.tsx'
import { CutFields } from './cut-fields.tsx'
import { followedBy } from './cut-record.ts'
import { FloorDrawing } from './floor-drawing.tsx'
import { FloorFoot } from './floor-foot.tsx'
import { FloorSentence, NewerPlan } from './floor-sentence.tsx'
import type { FloorState, FloorStation } from './floor-station.ts'
import { HandButtons, type PanelName } from './hand-buttons.tsx'
import { LabelQuestion } from './label-question.tsx'
import { NextCut, NowCut } from './now-cut.tsx'
import { OpenPanel } from './open-panel.tsx'
import { RepairNote } from './repair-note.tsx'
import { SignalsLine } from './signals-line.tsx'
import { SparkQuestion } from './spark-question.tsx'
import { standingReading } from './standing-reading.ts'
import { useFloor } from './use-floor.ts'
import { type FloorDeeds, useFloorDeeds } from './use-floor-deeds.ts'
import { useLineKeys } from './use-line-keys.ts'
import { useSparks } from './use-sparks.ts'
import { AnsweredRecords, StationNote } from './waiting-records.tsx'

/** One line's tablet: this cut and the next, and every deed along the lower edge. */
export function FloorLine({ line, onOtherLine }: { line: string; onOtherLine: () => void }) {
  const { station, state } = useFloor(line)
  const deeds = useFloorDeeds(station, state)
  const root = useRef<HTMLDivElement>(null)
  const { letters, toggle } = useLineKeys(root, deeds.scan)
  const { view, cut } = state
  return (
    <div className={letters ? 'floor' : 'floor no-letters'} ref={root}>
      <StationNote offline={state.offline} heardAt={state.heardAt} ahead={view?.ahead ?? []} />
      <OlderPage />
      {state.refused && <Refusal error={state.refused} />}
      {!view && !state.refused && !state.offline && <Skeleton />}
      {!view && state.offline && (
        <p className="sentence">
          <strong>The server does not answer,</strong> and this tablet has not shown {line} before.
        </p>
      )}
      {view && (
        <>
          {view.dangers.length > 0 && <ShiftDangers dangers={view.dangers} />}
          <Notes state={state} station={station} deeds={deeds} />
          {cut ? <InHand state={state} deeds={deeds} /> : <FloorSentence view={view} record={deeds.record} />}
          <SignalsLine signals={state.signals} />
          <AnsweredRecords />
          <Drawing state={state} />
          <FloorFoot {...{ view, letters, onOtherLine }} onLetters={toggle} />
          {cut && <NewerPlan view={view} record={deeds.record} />}
          <Dock state={state} deeds={deeds} />
        </>
      )}
    </div>
  )
}

/** What asks for an answer before the next cut. */
function Notes(props: { state: FloorState; station: FloorStation | null; deeds: FloorDeeds }) {
  const { state, station, deeds } = props
  const { view, cut, wanted } = state
  const { sparks, isFault, isNone } = useSparks(state, deeds)
  if (!view) return null
  return (
    <>
      {wanted !== null && <ChangedCut cut={cut} wanted={wanted} onTake={() => station?.confirm()} />}
      <RepairNote repair={view.repair} />
      <SparkQuestion sparks={sparks} onFault={isFault} onNone={isNone} />
      <LabelQuestion doubts={view.doubts ?? []} tell={deeds.tell} />
    </>
  )
}

function InHand({ state, deeds }: { state: FloorState; deeds: FloorDeeds }) {
  const { view, cut, wanted } = state
  if (!view || !cut) return null
  const { cutBooked, typed } = deeds
  return (
    <div className="floor-top">
      <NowCut cut={cut} left={view.cuts.length}>
        <CutFields
          cut={wanted === null ? cut : { ...cut, equal: 1 }}
          typed={typed}
          expected={followedBy(cut, typed, view.errorRatio)}
          times={deeds.times}
          wrong={cutBooked && 'wrong' in cutBooked ? cutBooked.wrong : null}
          place={cut.asShown.kind === 'wind-off' ? cut.asShown.place : null}
          live={standingReading(state.signals)}
          onTyped={deeds.type}
          onTimes={deeds.setTimes}
          onEnter={deeds.recordCut}
        />
      </NowCut>
      <NextCut cut={wanted === null ? view.cuts[1] : wanted === 'none' ? undefined : wanted} />
    </div>
  )
}

function Drawing({ state }: { state: FloorState }) {
  const { waiting } = useOutbox()
  const { history, view } = state
  if (!history || history.drum !== view?.mounted?.drum) return null
  const cut = waiting.reduce((sum, { command: { body } }) => {
    if (!('drum' in body) || body.drum !== history.drum) return sum
    if (body.kind === 'cut-pieces') return sum + body.pieces.length
    return body.kind === 'cut-off' || body.kind === 'wind-off' ? sum + 1 : sum
  }, 0)
  return <FloorDrawing history={history} waiting={cut} />
}

/** Buttons along the lower edge, with the open question above them and what was said last. */
function Dock({ state, deeds }: { state: FloorState; deeds: FloorDeeds }) {
  const { open, said, lastFault, cutBooked, times } = deeds
  const press = (panel: PanelName) => {
    if (panel === 'short' || panel === 'long') return focusReading()
    deeds.setOpen({ panel })
  }
  const differs = cutBooked !== null && 'differs' in cutBooked && cutBooked.differs
  const rest = state.cut?.use === 'rest'
  const main = rest
    ? 'Put the rest away'
    : differs
      ? 'Cut, as typed'
      : times > 1
        ? `As shown, ${times} coils`
        : 'As shown'
  return (
    <div className="floor-dock">
      <OpenPanel deeds={deeds} state={state} />
      <div className="row dock-said">
        <p role="status" className={said.wrong ? 'wrong wraps grow' : 'wraps grow'}>
          {said.text}
        </p>
        {lastFault && open === null && (
          <button
            type="button"
            className="button"
            data-letter="B"
            aria-keyshortcuts="B"
            onClick={() => deeds.setOpen({ panel: 'place-fault', fault: lastFault.fault })}
          >
            Place {lastFault.fault} by its marks <span className="hand-key">B</span>
          </button>
        )}
      </div>
      {/* one question at a time: an open one stands where the buttons were */}
      {open === null && (
        <HandButtons
          main={state.cut ? main : null}
          mounted={state.view?.mounted !== null}
          onMain={deeds.recordCut}
          onPanel={press}
        />
      )}
    </div>
  )
}

/** Short and long are a reading that differs: it is typed, and Enter or the main button books it. */
function focusReading(): void {
  const field = document.getElementById('read-counter')
  if (!(field instanceof HTMLInputElement)) return
  field.focus()
  field.select()
}

function OlderPage() {
  if (!useOlderPage()) return null
  return (
    <div className="banner row">
      <p className="grow">
        <strong>The server has newer screens than this page.</strong> When the line stands, load it again;
        what was recorded is kept.
      </p>
      <button type="button" className="button in-hand" onClick={() => window.location.reload()}>
        Load it again
      </button>
    </div>
  )
}
