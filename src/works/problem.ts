/** One breach of the works folder contract: where it is, what is wrong, and what would be right. */
export interface Problem {
  /** Name of the file within the folder. */
  file: string
  /** Row as a spreadsheet counts it: the header is row 1. null where the breach concerns the whole file. */
  row: number | null
  /** Column of a CSV, or the path of a JSON value such as `lines[1].dancer.falls`. null where it concerns the row or file. */
  column: string | null
  /** What is wrong, with the value that was found. */
  wrong: string
  /** What would be right. */
  right: string
}

/** Something to show to the user that does not refuse the folder. */
export interface Notice {
  file: string
  row: number | null
  column: string | null
  text: string
  /** Stable key for screens. */
  kind:
    | 'unknown-column'
    | 'line-unservable'
    | 'group-unservable'
    | 'putup-unfit'
    | 'wood-unfit'
    | 'witness-marks'
    | 'witness-weight'
}
