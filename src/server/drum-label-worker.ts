import { type DrumLabel, drumLabelPdf } from '../documents/drum-label.ts'
import { answerFromWorker } from './answer-from-worker.ts'

/** The thread in which the label of a drum is drawn, so that booking does not wait for it. */
await answerFromWorker<DrumLabel, Uint8Array>(drumLabelPdf)
