/** What the command line ends with; the same for every command. */
export const EXIT = {
  /** Done; for `plan`: the plan is written, even with order lines unserved. */
  ok: 0,
  /** Something failed that the works folder is not to blame for. */
  failed: 1,
  /** The works folder, or the way the command was called, is wrong. */
  problems: 2,
  /** `plan` was stopped by Ctrl-C; the best plan so far is written. */
  stopped: 3,
} as const
