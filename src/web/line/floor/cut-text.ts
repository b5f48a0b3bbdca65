import { lengthText } from '../../../quantity/length-text.ts'
import type { FloorCut } from '../../../works/floor-api.ts'

/** "piece 2 of 5, order 7116/1, 100 m, coil tied": what a cut becomes. */
export function cutText({ row }: FloorCut): string {
  const parts = [row.what, row.order && `order ${row.order}`, row.declared, row.putup]
  return parts.filter(Boolean).join(', ')
}

/** As a record calls it: "cut 3, 100 m for 7116/1". */
export function cutWords({ row, takenUm }: FloorCut, times: number): string {
  const what = row.order ? `${row.declared} for ${row.order}` : `${row.what}, ${lengthText(takenUm, 'm', 1)}`
  return `cut ${row.cut}, ${times > 1 ? `${times} × ` : ''}${what}`
}

/** Stop and mark of a cut in one line, to set it beside another: "stop at 100.123 m, mark 1104.0 m". */
export function stopText(cut: FloorCut): string {
  const mark = cut.markInner === null ? 'no print' : `mark ${cut.row.mark}`
  return `${cut.row.what}${cut.row.order ? ` for ${cut.row.order}` : ''}: ${stopLabel(cut).toLowerCase()} ${stopFigure(cut)} m, ${mark}`
}

/** What the largest figure is: where the counter is stopped, or what is measured off at a bench. */
export function stopFigure(cut: FloorCut): string {
  const at = cut.stopAtM ?? cut.presetM
  return at === null ? cut.row.run : at.toFixed(3)
}

export function stopLabel(cut: FloorCut): string {
  return cut.presetM === null ? 'Measure off' : 'Stop at'
}
