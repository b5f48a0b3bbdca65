import { readFileSync } from 'node:fs'

const LOOK_EVERY_MS = 500

/**
 * npm runs a script in a shell and, told to end, ends that shell only: the server would live on unseen and keep
 * its data folder from the next start. So it ends itself once the shell or the npm above it is gone.
 */
export function endWithNpm() {
  if (process.env.npm_lifecycle_event === undefined) return
  const shell = process.ppid
  const npm = parentOf(shell)
  setInterval(() => {
    if (process.ppid !== shell || parentOf(shell) !== npm) process.kill(process.pid, 'SIGTERM')
  }, LOOK_EVERY_MS).unref()
}

/** From proc(5): the fourth field, counted behind the name, which may hold anything; null on other systems. */
function parentOf(pid) {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8')
    return Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[1])
  } catch {
    return null
  }
}
