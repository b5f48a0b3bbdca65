import { type ComplaintPaper, complaintPagePdf } from '../documents/complaint-page.ts'
import { answerFromWorker } from './answer-from-worker.ts'

/** The thread in which the page of a piece is drawn, so that the floor does not wait for it. */
await answerFromWorker<ComplaintPaper, Uint8Array>(complaintPagePdf)
