import type { PieceLabel } from '../dispatch/piece-label.ts'
import { declaredLabelsPdf, type LabelMedia } from '../documents/declared-labels.ts'
import { answerOrders } from './answer-from-worker.ts'

/** The thread in which labels of measured pieces are drawn. */
export interface LabelOrder {
  labels: PieceLabel[]
  media: LabelMedia
}

answerOrders<LabelOrder, Uint8Array>(({ labels, media }) => declaredLabelsPdf(labels, media))
