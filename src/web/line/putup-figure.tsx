import { useMemo, useState } from 'react'
import type { RunSheet } from '../../dispatch/run-sheet.ts'
import { putupDrawing } from '../../drawing/putup-drawing.ts'
import type { PlanInput } from '../../plan/plan-input.ts'
import { coilSize } from '../../putup/coil.ts'
import type { Putup } from '../../putup/putup.ts'
import { choosePutups } from '../../putup/putup-choice.ts'
import { windingAt, windingOf } from '../../putup/winding.ts'
import { LastmetreError } from '../../quantity/errors.ts'
import { mFromUm } from '../../quantity/length.ts'
import { figureText } from '../../quantity/length-text.ts'
import { TEXT_SIZE_PX } from '../parts/drawing-size.ts'
import { Figure } from '../parts/figure.tsx'
import { Near } from '../parts/near.tsx'
import type { Typed } from './mounting-settings-state.ts'

interface WoundCut {
  cut: number
  putup: string
  lengthM: number
  declaredM: number
}

const HEIGHT_PX = 320
/** Wider, the end view of a coil would fill the screen. */
const MOST_WIDTH_PX = 720
const LEAST_WIDTH_PX = 620

function woundCuts({ mounting }: RunSheet): WoundCut[] {
  return mounting.intervals.flatMap((x, i): WoundCut[] => {
    const putup = 'putup' in x ? x.putup : null
    if (putup === null) return []
    const lengthM = mFromUm(x.toUm - x.fromUm)
    return [{ cut: i + 1, putup, lengthM, declaredM: x.use === 'piece' ? mFromUm(x.declaredUm) : lengthM }]
  })
}

/** Each put-up as it is wound, to scale; another one or another barrel can be looked at. */
export function PutupFigure({ works, sheet, typed }: { works: PlanInput; sheet: RunSheet; typed: Typed }) {
  const cuts = useMemo(() => woundCuts(sheet), [sheet])
  const [chosen, setChosen] = useState(0)
  const [other, setOther] = useState('')
  const cut = cuts[chosen]
  if (!cut)
    return (
      <section className="stack close" aria-labelledby="putup-head">
        <h2 id="putup-head">Wound put-up</h2>
        <p>This mounting winds on no put-up.</p>
      </section>
    )
  const putup = works.putups.find((p) => p.putup === (other || cut.putup))
  const barrelMm = Number((typed.takeupBarrelMm ?? '').replace(',', '.'))
  return (
    <section className="stack close" aria-labelledby="putup-head">
      <h2 id="putup-head">Wound put-up, to scale</h2>
      <div className="row filter">
        <div className="field">
          <label htmlFor="putup-cut">Cut</label>
          <select id="putup-cut" value={chosen} onChange={(event) => setChosen(Number(event.target.value))}>
            {cuts.map((c, i) => (
              <option key={c.cut} value={i}>
                {c.cut}: {figureText(c.lengthM, 2)} m on {c.putup}
              </option>
            ))}
          </select>
        </div>
        <div className="field">
          <label htmlFor="putup-other">On</label>
          <select id="putup-other" value={other} onChange={(event) => setOther(event.target.value)}>
            <option value="">{cut.putup} (planned)</option>
            {works.putups
              .filter((p) => p.putup !== cut.putup && p.kind !== 'process_drum')
              .map((p) => (
                <option key={p.putup} value={p.putup}>
                  {p.putup}, {p.kind}
                </option>
              ))}
          </select>
        </div>
      </div>
      {putup && (
        <Wound
          works={works}
          cable={sheet.usable.drum.cable}
          cut={cut}
          putup={barrelMm > 0 ? { ...putup, barrelMm } : putup}
        />
      )}
    </section>
  )
}

function Wound(props: { works: PlanInput; cable: string; cut: WoundCut; putup: Putup }) {
  const { works, cable, cut, putup } = props
  const type = works.cables.find((c) => c.cable === cable)
  const wound = useMemo(() => {
    const winding = type ? windingOf(putup, type.odMm, works.site.putupRules) : null
    return winding && { winding, state: windingAt(winding, cut.lengthM), lengthM: cut.lengthM }
  }, [type, putup, works, cut])
  const choice = useMemo(() => (type ? chosen(works, type, cut, putup) : null), [works, type, cut, putup])
  const ties =
    putup.kind === 'coil' && wound
      ? coilSize(putup.barrelMm, wound.state.outerDiameterMm, putup.traverseMm).ties
      : 0
  return (
    <>
      {choice && (
        <p className="wraps">
          <strong>{choice.fits ? '✓ Fits.' : '✗ Does not fit.'}</strong> {choice.reason}{' '}
          {choice.notes.join(' ')}
        </p>
      )}
      <Near heightPx={HEIGHT_PX}>
        {(widthPx) => {
          const width = Math.min(MOST_WIDTH_PX, Math.max(LEAST_WIDTH_PX, widthPx))
          return (
            <Figure
              told
              drawing={putupDrawing({ putup, cable, wound, ties, width, textSize: TEXT_SIZE_PX })}
            />
          )
        }}
      </Near>
    </>
  )
}

/** Whether this put-up may carry the piece, and why not. */
function chosen(works: PlanInput, cable: PlanInput['cables'][number], cut: WoundCut, putup: Putup) {
  const { site, costs } = works
  try {
    const [choice] = choosePutups({
      ...{ cable, declaredM: cut.declaredM, putups: [putup], market: null, costs },
      ...{ putupRules: site.putupRules, cutRules: site.cutRules, lines: site.lines, oven: site.oven },
    })
    return choice ?? null
  } catch (error) {
    if (error instanceof LastmetreError) return { fits: false, reason: error.message, notes: [error.todo] }
    throw error
  }
}
