import type { Fault } from '../strip/fault.ts'
import type { OrderLine } from './order-line.ts'

/** Whether a piece of this order line may contain this fault. A fault to be cut out: never (works folder contract, faults.csv severity). */
export function allowsFault(
  line: Pick<OrderLine, 'faultsAllowed' | 'printRequired'>,
  fault: Pick<Fault, 'severity' | 'code'>,
): boolean {
  if (fault.severity === 'note') return line.faultsAllowed !== 'none'
  if (fault.severity === 'downgrade')
    return line.faultsAllowed === 'downgrade' || (fault.code === 'PRT' && !line.printRequired)
  return false
}
