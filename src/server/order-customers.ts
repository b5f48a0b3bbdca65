import type { Store } from '../store/dialect.ts'
import { fileContent, orderBooks } from '../store/record-queries.ts'
import { readCsv } from '../works/csv-text.ts'
import { decodeText } from '../works/decode-text.ts'

/** Older order books than this are not looked into. */
const MAX_BOOKS = 500

/**
 * Who ordered what. An order leaves the folder once it is shipped, so the order books of earlier versions of the works are
 * asked as well; each content is read once.
 */
export class OrderCustomers {
  readonly #db: Store
  readonly #known = new Map<string, string>()
  readonly #read = new Set<string>()

  constructor(db: Store) {
    this.#db = db
  }

  /** Reads what is new, the newest last, so that it wins; afterwards `of` answers. */
  async refresh(): Promise<void> {
    const books = (await orderBooks(this.#db, MAX_BOOKS)).filter((sha256) => !this.#read.has(sha256))
    for (const sha256 of books.reverse()) {
      this.#read.add(sha256)
      const text = decodeText(await fileContent(this.#db, sha256))
      if (typeof text === 'string') this.#take(text)
    }
  }

  of(order: string | null, line: number | null): string | null {
    return order === null ? null : (this.#known.get(`${order} ${line}`) ?? null)
  }

  #take(text: string): void {
    const { header, rows } = readCsv(text)
    const at = (name: string) => header?.cells.indexOf(name) ?? -1
    const [order, line, customer] = [at('order'), at('line'), at('customer')]
    for (const { cells } of rows)
      this.#known.set(`${cells[order] ?? ''} ${cells[line] ?? ''}`, cells[customer] ?? '')
  }
}
