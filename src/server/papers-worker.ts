import { answerFromWorker } from './answer-from-worker.ts'
import { type PlanAndInput, type PlanFileName, planFileBytes, planPackZip } from './plan-papers.ts'

/** The thread in which papers are drawn. */
export interface PapersOrder extends PlanAndInput {
  file: PlanFileName | 'pack.zip'
}

await answerFromWorker<PapersOrder, Uint8Array>(({ file, ...source }) =>
  file === 'pack.zip' ? planPackZip(source) : planFileBytes(file, source),
)
