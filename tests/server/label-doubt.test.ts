import { type AddressInfo, createServer, type Socket } from 'node:net'
import { expect, it, onTestFinished } from 'vitest'
import { readWholeFolder } from '../../src/server/kept-more.ts'
import { Hall, storePlan } from '../floor/hall.ts'
import { type DatabasePlace, onBoth } from '../support/databases.ts'
import { until } from '../support/until.ts'
import { ask } from './harness.ts'
import { cutOne, eventsOf, withPrinter } from './label-hall.ts'
import { openServerAt, servedProcess } from './shared-server.ts'

/** A printer that has taken a whole label and does not say so until it is let go; from then on it answers at once. */
async function slowPrinter() {
  const got: Buffer[] = []
  const held = new Set<Socket>()
  let holds = true
  const server = createServer({ allowHalfOpen: true }, (socket) => {
    const chunks: Buffer[] = []
    socket.on('error', () => socket.destroy())
    socket.on('data', (chunk) => chunks.push(chunk))
    socket.on('end', () => {
      got.push(Buffer.concat(chunks))
      if (holds) held.add(socket)
      else socket.end()
    })
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const letGo = () => {
    holds = false
    for (const socket of held) socket.end()
  }
  onTestFinished(() => {
    letGo()
    server.close()
  })
  return { port: (server.address() as AddressInfo).port, got, letGo }
}

/** The built program on the same database; `hall` books through it. */
async function startProcess({ folder, url }: DatabasePlace, planId: number) {
  const args = ['--data', folder, '--no-planning']
  const { child, ended, address } = await servedProcess(args, url)
  const inject = async ({ method = 'GET', url: path = '', payload = undefined as object | undefined }) => {
    const headers = { 'content-type': 'application/json' }
    const sent = payload === undefined ? { method } : { method, headers, body: JSON.stringify(payload) }
    const answer = await fetch(`${address}${path}`, sent)
    const body = await answer.text()
    return { statusCode: answer.status, body, json: () => JSON.parse(body) }
  }
  const hall = new Hall({ http: { inject } } as never, planId, 'p')
  const kill = async () => {
    child.kill('SIGKILL')
    await ended
  }
  return { hall, kill }
}

onBoth(({ place }) => {
  it.each([
    ['it is there', { reason: 'cut, found at the printer' }, 2],
    ['print again', { reason: 'not found at the printer' }, 3],
  ] as const)(
    'a label whose server died after its last byte is asked about and not sent again; “%s” is booked',
    {
      timeout: 240_000,
    },
    async (answer, booked, sent) => {
      const printer = await slowPrinter()
      const at = await place()
      const first = await openServerAt(at)
      await first.app.works.open(await readWholeFolder(await withPrinter(printer.port)))
      const planId = await storePlan(first.db)
      await new Hall(first.app, planId, 'a').release()
      await first.close()

      const dying = await startProcess(at, planId)
      const serial = await cutOne(dying.hall)
      await until(
        async () => printer.got.length,
        (count) => count === 1,
      )
      await dying.kill()
      printer.letGo()

      const second = await openServerAt(at)
      const hall = new Hall(second.app, planId, 'b')
      const next = await cutOne(hall)
      const printed = async () => (await eventsOf(second.db, 'label-printed')).map(({ body }) => body)
      await until(printed, (labels) => labels.length > 0)
      expect(await printed()).toMatchObject([{ serial: next, reason: 'cut' }])
      expect(printer.got).toHaveLength(2)
      const { doubts } = await until(
        () => hall.view('RW-1'),
        (view) => view.doubts?.length === 1,
      )
      expect(doubts).toMatchObject([{ serial, printer: 'LP-9', again: false }])
      expect(await ask(second.app, { url: '/api/label-doubts' })).toMatchObject({ body: { doubts } })

      const url = `/api/label-doubts/${doubts![0]!.key}`
      const said = { method: 'POST', url, payload: { answer } } as const
      expect(await ask(second.app, said)).toEqual({ status: 200, body: { printer: 'LP-9' } })
      await until(printed, (labels) => labels.length === 2)
      expect(await printed()).toMatchObject([{}, { serial, version: 1, printer: 'LP-9', ...booked }])
      expect(printer.got).toHaveLength(sent)
      expect((await hall.view('RW-1')).doubts).toEqual([])
      expect(await ask(second.app, said)).toMatchObject({ status: 404 })
    },
  )
})
