import { answerFromWorker } from './answer-from-worker.ts'
import { type CertificateOrder, certificatePdf } from './lead-papers.ts'

/** The thread in which a lead is judged for its certificate: a file of twenty thousand points takes a while. */
await answerFromWorker<CertificateOrder, Uint8Array>(certificatePdf)
