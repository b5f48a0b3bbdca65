import type { Recall } from '../ledger/recall.ts'
import { mFromUm } from '../quantity/length.ts'
import { type Cell, writeCsv } from './csv-write.ts'

const HEADER = [
  ...['serial_or_drum', 'cable', 'lot', 'strip', 'from_m', 'to_m', 'declared', 'cut_date', 'where'],
  ...['order', 'order_line', 'customer', 'shipment', 'action'],
]

/** The list of a recall as a file to act on: pieces first, stock on drums behind them; places in metres on the strip. */
export function recallCsv({ pieces, stock }: Recall): string {
  return writeCsv(HEADER, [
    ...pieces.map((p): Cell[] => [
      ...[p.serial, p.cable, p.lot, p.strip, mFromUm(p.fromUm), mFromUm(p.toUm), p.declaredText, p.day],
      ...[p.whereText, p.order, p.orderLine, p.customer, p.shipment, p.action],
    ]),
    ...stock.map((s): Cell[] => [
      ...[s.drum, null, null, s.strip, mFromUm(s.fromUm), mFromUm(s.toUm), `${mFromUm(s.lengthUm)} m`, null],
      ...[`drum stock, ${s.place ?? 'no place'}`, null, null, null, null, s.action],
    ]),
  ])
}
