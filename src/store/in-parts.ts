/** Values bound in one statement: SQLite takes 32 766, PostgreSQL 65 535; a row has up to 16. */
const ROWS_AT_ONCE = 500

/** Does something with so many at a time that one statement can bind them; nothing where there are none. */
export async function inParts<T>(all: Iterable<T>, act: (part: T[]) => Promise<unknown>): Promise<void> {
  const list = [...all]
  for (let from = 0; from < list.length; from += ROWS_AT_ONCE) {
    await act(list.slice(from, from + ROWS_AT_ONCE))
  }
}

/** As inParts, for what is read. */
export async function readInParts<T, R>(all: Iterable<T>, read: (part: T[]) => Promise<R[]>): Promise<R[]> {
  const found: R[] = []
  await inParts(all, async (part) => {
    for (const row of await read(part)) found.push(row)
  })
  return found
}
