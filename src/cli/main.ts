import { runCommandLine } from './command-line.ts'

// Whoever reads may stop reading (`… --help | head`): what is left unread is no failure.
for (const stream of [process.stdout, process.stderr])
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error
  })

process.exitCode = await runCommandLine(process.argv.slice(2))
