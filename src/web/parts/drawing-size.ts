/** Size of the letters in drawings on a screen. */
export const TEXT_SIZE_PX = 14

/** A strip is not drawn narrower than it can be read; on a narrow screen it scrolls sideways. */
const LEAST_WIDTH_PX = 560

export function drawingWidthPx(roomPx: number): number {
  return Math.max(LEAST_WIDTH_PX, roomPx)
}
