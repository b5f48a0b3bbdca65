/** Letters and digits that are not taken for one another when written by hand on a coil. */
const CLEAR = 'ABCDEFGHJKLMNPQRSTUVWXYZ23456789'

/** Name of a station: four clear letters or digits, made once and kept by the browser. `bytes`: at least 4, by chance. */
export function stationName(bytes: Uint8Array): string {
  return clear(bytes.subarray(0, 4))
}

/**
 * Key of a record, unique for ever: station, running number, and eight by chance, since a browser whose store was
 * wiped counts from one again. `bytes`: at least 8, by chance.
 */
export function recordKey(station: string, running: number, bytes: Uint8Array): string {
  return `${station}-${running}-${clear(bytes.subarray(0, 8))}`
}

/**
 * What is written by hand on a coil that has no serial yet: the start of its record's key, "K7QM-12", with the number of
 * the coil where the record has several. So the event in the ledger is found by what stands on the coil.
 */
export function tagsOf(station: string, running: number, coils: number): string[] {
  const tag = `${station}-${running}`
  return coils === 1 ? [tag] : Array.from({ length: coils }, (_, i) => `${tag}/${i + 1}`)
}

function clear(bytes: Uint8Array): string {
  return [...bytes].map((byte) => CLEAR[byte % CLEAR.length]).join('')
}
