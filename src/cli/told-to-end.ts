/** Waits for Ctrl-C, or for whoever runs the process to end it. */
export function toldToEnd(): Promise<void> {
  return new Promise((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => resolve())
  })
}
