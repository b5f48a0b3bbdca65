import { spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { expect, it, onTestFinished } from 'vitest'
import { emptyFolder } from '../support/empty-folder.ts'
import { until } from '../support/until.ts'

const ROOT = fileURLToPath(new URL('../../', import.meta.url))

it('the server ends with the shell that npm started it in, however that was ended', async () => {
  const data = await emptyFolder()
  // A shell above the server, as npm has one; `wait` keeps it from becoming the server itself.
  const script = '"$1" scripts/start.mjs --port 0 --data "$2" & wait'
  const shell = spawn('sh', ['-c', script, 'sh', process.execPath, data], {
    cwd: ROOT,
    env: { ...process.env, npm_lifecycle_event: 'start', INIT_CWD: ROOT },
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  onTestFinished(() => {
    shell.kill('SIGKILL')
  })
  let output = ''
  shell.stdout.on('data', (chunk) => {
    output += chunk
  })
  const address = /http:\/\/127\.0\.0\.1:\d+\//
  await until(
    async () => output,
    (text) => address.test(text),
  )
  const [url = ''] = address.exec(output) ?? []
  expect((await fetch(`${url}api/works`)).status).toBe(200)
  shell.kill('SIGKILL')
  const gone = await until(
    () =>
      fetch(`${url}api/works`).then(
        () => false,
        () => true,
      ),
    (isGone) => isGone,
  )
  expect(gone).toBe(true)
})
