import type { OrderLine } from '../../order/order-line.ts'
import { count } from '../format.ts'

/** What was ordered, with the length as it was typed: "4 × 500 ft C059-50". */
export function wantedText(line: OrderLine): string {
  const kind = line.kind === 'lead' ? ' leads' : ''
  return `${count(line.qty)} × ${line.lengthTyped} ${line.unit} ${line.cable}${kind}`
}
