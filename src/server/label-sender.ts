import type { Store } from '../store/dialect.ts'
import {
  beginSending,
  doubtSending,
  endSending,
  openSendings,
  type Sender,
  withdrawSending,
} from '../store/label-sendings.ts'
import type { LabelSendingRow } from '../store/tables.ts'
import type { LabelPrinter } from '../works/more-printers.ts'
import { sendIpp } from './label-ipp.ts'
import { sendSocket } from './label-socket.ts'
import { LabelTaken } from './label-taken.ts'
import type { Sharing } from './sharing.ts'

/** A printer that does not take a label within this is given up for this time. */
const SEND_MS = 10_000
/** After so long nobody waits for the server that sent it any more: it has died, or cannot note it. Longer than a sending. */
const SILENT_MS = 20_000

export type Sending = Pick<LabelSendingRow, 'key' | 'serial' | 'reason' | 'actor'>

/**
 * Sends labels to printers, each at most once unless a person says that it is not there: that it will be sent is on disk before
 * the first byte, and stays there until it is known what became of it. After a death between the last byte and the note it is
 * in doubt, and a person is asked.
 */
export class LabelSender {
  readonly #db: Store
  readonly #sharing: Sharing
  readonly #sender: Sender
  /** Keys of what this process is sending, or noting. */
  readonly #inHand = new Set<string>()
  #doubts: readonly LabelSendingRow[] = []

  constructor(db: Store, sharing: Sharing) {
    this.#db = db
    this.#sharing = sharing
    this.#sender = { server: sharing.server, shared: sharing.shared }
  }

  /** Those that may have been printed, as last read, oldest first. */
  get doubts(): readonly LabelSendingRow[] {
    return this.#doubts
  }

  /** Reads which labels may have been printed; answers whether there are others than before. */
  async readDoubts(): Promise<boolean> {
    const { server, shared } = this.#sender
    const before = this.#doubts
    this.#doubts = (await openSendings(this.#db, shared)).filter((row) => {
      if (this.#inHand.has(row.key)) return false
      return row.in_doubt === 1 || row.server === server || !shared || row.age_ms > SILENT_MS
    })
    const keys = this.#doubts.map(({ key }) => key).join()
    return keys !== before.map(({ key }) => key).join()
  }

  /**
   * Sends a label. Answers 'sent'; it is in hand until `noted`. 'known': it was printed, or somebody began to send it and
   * nobody knows what became of that. 'taken': the printer had it all and said nothing. Rejects where it was not printed for sure.
   */
  async send(
    sending: Sending,
    printer: LabelPrinter,
    pdf: Uint8Array,
    needsDuty: boolean,
  ): Promise<'sent' | 'known' | 'taken'> {
    const { key, serial } = sending
    this.#inHand.add(key)
    let isOver = true
    try {
      const place = { printer: printer.printer, line: printer.line }
      const begun = await beginSending(this.#db, this.#sender, { ...sending, ...place }, needsDuty)
      if (begun === 'known') {
        await doubtSending(this.#db, key)
        return 'known'
      }
      // it may have been long on its way to the database
      if (begun === 'not on duty' || (needsDuty && !this.#sharing.onDuty)) {
        if (begun === 'begun') await withdrawSending(this.#db, key, this.#sender.server)
        throw new Error('another server prints it')
      }
      try {
        await sendTo(printer, `label ${serial}`, pdf)
      } catch (error) {
        if (!(error instanceof LabelTaken)) {
          await withdrawSending(this.#db, key, this.#sender.server)
          throw error
        }
        // in doubt it is even where that cannot be noted
        await doubtSending(this.#db, key).catch(() => undefined)
        return 'taken'
      }
      isOver = false
      return 'sent'
    } finally {
      if (isOver) this.#inHand.delete(key)
    }
  }

  /** What was sent is booked, or can never be. */
  async noted(key: string): Promise<void> {
    this.#inHand.delete(key)
    await endSending(this.#db, key)
  }

  /** What was sent could not be booked: a person has to say. */
  async notNoted(key: string): Promise<void> {
    this.#inHand.delete(key)
    await doubtSending(this.#db, key)
  }

  /** A person has said what became of it; answers whether nobody had before. */
  async settle(key: string): Promise<boolean> {
    const isFirst = await endSending(this.#db, key)
    this.#doubts = this.#doubts.filter((row) => row.key !== key)
    return isFirst
  }
}

function sendTo({ address }: LabelPrinter, name: string, pdf: Uint8Array): Promise<void> {
  return address.protocol === 'ipp' ? sendIpp(address, name, pdf, SEND_MS) : sendSocket(address, pdf, SEND_MS)
}
