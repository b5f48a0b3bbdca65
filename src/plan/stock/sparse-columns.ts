/** Columns of a linear program with their costs, stored one after the other, so that the loops over them stay quick. */
export class SparseColumns {
  count = 0
  cost: Float64Array = new Float64Array(256)
  /** Entries of column j stand from start[j] to start[j + 1]. */
  start: Int32Array = new Int32Array(257)
  row: Int32Array = new Int32Array(2048)
  value: Float64Array = new Float64Array(2048)

  add(cost: number, rows: readonly number[], values: readonly number[]): number {
    const j = this.count++
    if (j + 1 >= this.start.length) {
      this.cost = grown(this.cost, new Float64Array(2 * j))
      this.start = grown(this.start, new Int32Array(2 * j + 1))
    }
    const at = this.start[j]!
    if (at + rows.length > this.row.length) {
      this.row = grown(this.row, new Int32Array(2 * (at + rows.length)))
      this.value = grown(this.value, new Float64Array(2 * (at + rows.length)))
    }
    for (let k = 0; k < rows.length; k++) {
      this.row[at + k] = rows[k]!
      this.value[at + k] = values[k]!
    }
    this.start[j + 1] = at + rows.length
    this.cost[j] = cost
    return j
  }

  /** Sum of the column's entries times those of a vector that starts at `at`. */
  dot(column: number, vector: Float64Array, at: number): number {
    const { row, value } = this
    const end = this.start[column + 1]!
    let sum = 0
    for (let k = this.start[column]!; k < end; k++) sum += vector[at + row[k]!]! * value[k]!
    return sum
  }
}

/** `larger` with what stood in `old`. */
export function grown<T extends Int32Array | Float64Array>(old: T, larger: T): T {
  larger.set(old)
  return larger
}
