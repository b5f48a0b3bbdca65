/**
 * The one table of errors: stable code, HTTP status, and what the reader can do next.
 * A programming error throws; what a user can cause is one of these.
 */
export const ERRORS = {
  'folder-missing': { status: 404, todo: 'Name a folder that holds the sixteen files of a works.' },
  'folder-refused': {
    status: 422,
    todo: 'Mend the cells that are listed and open the folder again. Nothing was imported.',
  },
  'orders-refused': {
    status: 422,
    todo: 'Mend the cells that are listed and paste again. Nothing was stored.',
  },
  'preview-stale': { status: 409, todo: 'Paste the lines again. Nothing was stored.' },
  'figures-stale': {
    status: 409,
    todo: 'Look at the figures as they are now and press again. Nothing was stored.',
  },
  'out-refused': { status: 400, todo: 'Name another folder with --out.' },
  'measurement-refused': {
    status: 422,
    todo: 'Mend the line that is named, or save the measurement again as Touchstone or CSV.',
  },
  'too-large': { status: 413, todo: 'Split the file; a file may hold 20 MB and 200 000 rows.' },
  'no-works': { status: 409, todo: 'Open a works folder first.' },
  'no-plan': { status: 404, todo: 'Plan the works first.' },
  'plan-running': { status: 409, todo: 'Wait for the plan that is being made, or stop it.' },
  'plan-stale': { status: 409, todo: 'The works has changed since this plan was made. Plan again.' },
  'event-refused': {
    status: 422,
    todo: 'Mend the event so that it speaks of this works and this plan. Nothing was changed.',
  },
  'plan-broken': {
    status: 500,
    todo: 'The plan did not pass its own check and is withheld. Keep the works folder and report it.',
  },
  'not-found': { status: 404, todo: 'Go back to the start page.' },
  'bad-request': { status: 400, todo: 'Check what was sent against the description at /api/docs.json.' },
  'figure-refused': { status: 422, todo: 'Correct the figure that is named and ask again.' },
  'unknown-id': { status: 404, todo: 'Name one that the works folder holds.' },
  'file-unreadable': { status: 400, todo: 'Save it again as XLSX or CSV, or paste its cells.' },
  'text-not-printable': {
    status: 422,
    todo: 'Use letters that the shipped typeface has, or shorten the text.',
  },
  'store-failed': {
    status: 500,
    todo: 'Check that the disk has room and that the folder of the database may be written.',
  },
  'data-in-use': {
    status: 409,
    todo: 'Close the other Lastmetre that uses this data folder, or name another one with --data.',
  },
  'port-taken': {
    status: 409,
    todo: 'Close a program that listens there, or name another port with --port.',
  },
  'host-refused': { status: 403, todo: 'Open the screens at the address that the server printed.' },
  'too-many': { status: 503, todo: 'Close other windows of the screens and try again.' },
  'stopped-early': { status: 409, todo: 'Plan again and let it run until the first plan is shown.' },
  'plan-file-refused': {
    status: 422,
    todo: 'Give the plan.json that was written for this works folder.',
  },
  'run-refused': {
    status: 422,
    todo: 'Mend the record; its columns and rules are those of line_run.csv.',
  },
  'command-refused': {
    status: 409,
    todo: 'Look at what is shown now and record it again as it really was. Nothing was booked.',
  },
  'maker-unproven': {
    status: 409,
    todo: 'It is kept for a person to settle, under Records: who really made it is theirs to say.',
  },
  'key-reused': { status: 409, todo: 'Reload the screen and record it again. Nothing was booked.' },
  'ledger-elsewhere': {
    status: 409,
    todo: 'Open this works with a data folder of its own, --data.',
  },
  'ledger-broken': {
    status: 500,
    todo: 'Stop booking, keep the data folder as it is, and restore the last backup that verifies.',
  },
  'sign-in-needed': { status: 401, todo: 'Sign in with badge and PIN.' },
  'sign-in-refused': { status: 401, todo: 'Check badge and PIN and try again.' },
  'locked-out': { status: 429, todo: 'Wait until the time that is named, or ask the owner for a new PIN.' },
  'not-allowed': {
    status: 403,
    todo: 'Ask someone whose role it is; the table of roles is under Our works.',
  },
  'owner-missing': {
    status: 403,
    todo: 'Make an owner account on the machine itself first: npx lastmetre owner.',
  },
  'tls-missing': {
    status: 403,
    todo: 'Make certificates with npx lastmetre certificates make and serve with --tls, or read docs/tls.md on --plain-http.',
  },
  'printer-failed': {
    status: 502,
    todo: 'Check paper, cable and address of the printer and print again; what was booked stays.',
  },
  unexpected: { status: 500, todo: 'Try again. If it comes back, keep the works folder and report it.' },
} as const satisfies Record<string, { status: number; todo: string }>

export type ErrorCode = keyof typeof ERRORS

/** An error with a stable code that a person can act on. */
export class LastmetreError extends Error {
  readonly code: ErrorCode
  constructor(code: ErrorCode, message: string) {
    super(message)
    this.code = code
  }
  get status(): number {
    return ERRORS[this.code].status
  }
  get todo(): string {
    return ERRORS[this.code].todo
  }
}

/** Whatever was thrown as code and words, as it crosses from one thread or process to another. */
export function thrownAs(error: unknown): { code: ErrorCode; message: string } {
  return {
    code: error instanceof LastmetreError ? error.code : 'unexpected',
    message: error instanceof Error ? error.message : String(error),
  }
}
