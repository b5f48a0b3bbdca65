import { leadDrawing } from '../../drawing/lead-drawing.ts'
import { leadEndDrawing } from '../../drawing/lead-end.ts'
import type { JobSheet } from '../../lead/job-sheet.ts'
import type { BenchStep } from '../../lead/step-list.ts'
import { figureText } from '../../quantity/length-text.ts'
import { TEXT_SIZE_PX } from '../parts/drawing-size.ts'
import { Figure } from '../parts/figure.tsx'
import { Near } from '../parts/near.tsx'

const WIDEST_PX = 560

/** What a step is done by: the cut length in the largest letters, or the end drawn to scale. */
export function JobStepPicture({ sheet, step }: { sheet: JobSheet; step: BenchStep }) {
  if (step.name === 'cut')
    return (
      <p className="step-figure">
        {figureText(sheet.cut.stopMm, 1)} mm <span className="quiet">× {sheet.start.start}</span>
      </p>
    )
  if (step.name === 'strip A' || step.name === 'strip B')
    return <StripEnd sheet={sheet} end={step.name === 'strip A' ? 'A' : 'B'} where="Now: " />
  return null
}

interface StripEndProps {
  sheet: JobSheet
  end: 'A' | 'B'
  where?: string
}

export function StripEnd({ sheet, end, where = '' }: StripEndProps) {
  return (
    <Near heightPx={220}>
      {(width) => (
        <Figure
          drawing={leadEndDrawing({
            ...{ end, strip: end === 'A' ? sheet.stripA : sheet.stripB },
            ...{ width: Math.min(width, WIDEST_PX), textSize: TEXT_SIZE_PX },
          })}
          where={where}
          // at its step the same words stand above it
          told={where === ''}
        />
      )}
    </Near>
  )
}

/** The lead as it will be, with its lengths. */
export function WholeLead({ sheet }: { sheet: JobSheet }) {
  const { line, cable, a, b, cut } = sheet
  return (
    <Near heightPx={240}>
      {(width) => (
        <Figure
          drawing={leadDrawing({
            ...{ line, cable, a, b, cut },
            ...{ width: Math.max(520, Math.min(width, 900)), textSize: TEXT_SIZE_PX },
          })}
          told
        />
      )}
    </Near>
  )
}
