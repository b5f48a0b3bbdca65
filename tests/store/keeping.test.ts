import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { expect, it } from 'vitest'
import { command as run, startServer } from '../support/command.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { command, demoContext, drumOf } from './books.ts'

it('verifies and backs up beside a running server, and restores into an empty folder', {
  timeout: 300_000,
}, async () => {
  const data = await emptyFolder()
  const server = await startServer(data)
  const drum = drumOf(await demoContext(), 10)
  const book = async (key: string) => {
    const commands = [command(key, { kind: 'move-drum', drum, place: key })]
    const headers = { 'content-type': 'application/json' }
    const body = JSON.stringify({ commands, late: false })
    const answer = await fetch(`${server.url}api/ledger/commands`, { method: 'POST', headers, body })
    expect(await answer.json()).toMatchObject({ outcomes: [{ event: { key } }] })
  }
  await book('k1')
  const verified = await run(['ledger', 'verify', '--data', data, '--json']).ended
  expect(verified).toMatchObject({ code: 0 })
  const report = JSON.parse(verified.stdout) as { events: number; hash: string; problems: string[] }
  expect(report.problems).toEqual([])

  const file = join(await emptyFolder(), 'backup.sqlite')
  expect(await run(['backup', '--to', file, '--data', data]).ended).toMatchObject({
    code: 0,
    stdout: expect.stringContaining(report.hash),
  })
  expect(await run(['backup', '--to', file, '--data', data]).ended).toMatchObject({ code: 2 })
  await book('k2')
  server.process.kill('SIGKILL')
  await server.ended

  const again = await emptyFolder()
  expect(await run(['restore', '--from', file, '--data', again]).ended).toMatchObject({ code: 0 })
  expect(await run(['restore', '--from', file, '--data', data]).ended).toMatchObject({ code: 2 })
  expect(JSON.parse((await run(['ledger', 'verify', '--data', again, '--json']).ended).stdout)).toEqual(
    report,
  )
  const after = await run(['ledger', 'verify', '--data', data, '--json']).ended
  expect(JSON.parse(after.stdout)).toMatchObject({ events: report.events + 1, problems: [] })

  const broken = new SqliteDatabase(join(again, 'lastmetre.sqlite'))
  broken.exec("update ledger_event set station = 'other' where key = 'k1'")
  broken.close()
  expect(await run(['ledger', 'verify', '--data', again]).ended).toMatchObject({
    code: 2,
    stdout: expect.stringContaining('was changed afterwards'),
  })
})
