import { execFileSync } from 'node:child_process'
import { mkdir, symlink, truncate, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import { WORKS_FILES } from '../../src/works/works-files.ts'
import { DEMO, demoWith } from '../support/demo.ts'
import { ask, demoApp, multipart } from './harness.ts'

describe('opening a works folder', () => {
  it('says that none is open, opens the demo, and numbers its state', async () => {
    const app = await demoApp({ open: false })
    expect(await ask(app, { url: '/api/works' })).toMatchObject({ status: 409, body: { code: 'no-works' } })
    const opened = await ask(app, { method: 'POST', url: '/api/works/demo' })
    expect(opened).toMatchObject({ status: 200, body: { version: 1, todayDate: '2031-03-03' } })
    // The same bytes again are the same state.
    expect(await ask(app, { method: 'POST', url: '/api/works/demo' })).toEqual(opened)
    const input = await ask(app, { url: '/api/input' })
    expect(input.body).toMatchObject({ version: 1, input: { folder: 'kelderwick' } })
    expect(input.body).not.toHaveProperty('input.lineRun')
  })

  it('refuses a folder as a whole, lists where, and keeps the works that is open', async () => {
    const app = await demoApp()
    const folder = await demoWith({ 'month_ledger.csv': 'cable,month\r\n', 'faults.csv': null })
    const refused = await ask(app, { method: 'POST', url: '/api/works/open', payload: { folder } })
    expect(refused).toMatchObject({ status: 422, body: { code: 'folder-refused' } })
    const { problems } = refused.body as { problems: { file: string }[] }
    expect(new Set(problems.map((p) => p.file))).toEqual(new Set(['month_ledger.csv', 'faults.csv']))
    expect(await ask(app, { url: '/api/works' })).toMatchObject({ status: 200, body: { version: 1 } })
  })

  it.each(['', ' ', '\0', '/no/such/folder', join(DEMO, 'orders.csv')])(
    'refuses %j as a folder',
    async (folder) => {
      const app = await demoApp()
      const { status, body } = await ask(app, { method: 'POST', url: '/api/works/open', payload: { folder } })
      expect([400, 404]).toContain(status)
      expect(body).toHaveProperty('todo')
    },
  )

  it('reads the sixteen names only', async () => {
    const folder = await demoWith({ 'secret.csv': 'x', '.env': 'y' })
    const { files } = await readWorksFolder(folder)
    expect([...files.keys()]).toEqual([...WORKS_FILES])
  })

  it('neither follows a link, nor waits for a pipe, nor takes a folder for a file', async () => {
    const folder = await demoWith({ 'orders.csv': null, 'drums.csv': null, 'marks.csv': null })
    await symlink('/etc/passwd', join(folder, 'orders.csv'))
    execFileSync('mkfifo', [join(folder, 'drums.csv')])
    await mkdir(join(folder, 'marks.csv'))
    const app = await demoApp()
    const { status, body } = await ask(app, { method: 'POST', url: '/api/works/open', payload: { folder } })
    expect(status).toBe(422)
    const { problems } = body as { problems: { file: string; row: number | null; wrong: string }[] }
    const whole = problems.filter((p) => p.row === null).map((p) => [p.file, p.wrong])
    expect(whole).toEqual(
      expect.arrayContaining([
        ['orders.csv', 'a symbolic link, which is not followed'],
        ['drums.csv', 'not a plain file'],
        ['marks.csv', 'not a plain file'],
      ]),
    )
    expect(JSON.stringify(body)).not.toContain('root:')
  })

  it('names a file that is too long without reading it all', async () => {
    const folder = await demoWith({})
    await truncate(join(folder, 'orders.csv'), 3 * 1024 ** 3)
    const app = await demoApp()
    const { status, body } = await ask(app, { method: 'POST', url: '/api/works/open', payload: { folder } })
    expect(status).toBe(422)
    expect(body).toMatchObject({
      problems: expect.arrayContaining([expect.objectContaining({ file: 'orders.csv' })]),
    })
  })
})

describe('a dropped folder', () => {
  it('is opened under its name, whatever else and whatever paths are sent', async () => {
    const app = await demoApp({ open: false })
    const { files } = await readWorksFolder(DEMO)
    const parts = [...files].map(([name, bytes]) => ({ name: `../../etc/${name}`, bytes }))
    const sent = multipart({ folder: '../<b>my works</b>' }, [
      ...parts,
      { name: 'other.txt', bytes: Buffer.from('x') },
    ])
    const { status, body } = await ask(app, { method: 'POST', url: '/api/works/upload', ...sent })
    expect(status).toBe(200)
    expect(body).toMatchObject({ version: 1, counts: { drums: 42 } })
    expect((body as { folder: string }).folder).not.toMatch(/[<>/]/)
  })

  it('is refused where a file is missing or comes twice, or where it holds none of them', async () => {
    const app = await demoApp({ open: false })
    const { files } = await readWorksFolder(DEMO)
    const upload = (names: string[]) => {
      const parts = names.map((name) => ({ name, bytes: files.get(name) ?? Buffer.from('x') }))
      return ask(app, { method: 'POST', url: '/api/works/upload', ...multipart({}, parts) })
    }
    expect(await upload(WORKS_FILES.slice(1))).toMatchObject({
      status: 422,
      body: { code: 'folder-refused' },
    })
    expect(await upload([...WORKS_FILES, 'orders.csv'])).toMatchObject({ status: 400 })
    expect(await upload(['holiday.jpg'])).toMatchObject({ status: 404 })
    expect(await ask(app, { url: '/api/works' })).toMatchObject({ status: 409 })
  })

  it('names a file that is too long', async () => {
    const app = await demoApp({ open: false })
    const parts = [{ name: 'orders.csv', bytes: Buffer.alloc(22 * 1024 * 1024, 97) }]
    const { status, body } = await ask(app, {
      method: 'POST',
      url: '/api/works/upload',
      ...multipart({}, parts),
    })
    expect(status).toBe(422)
    expect(body).toMatchObject({
      problems: expect.arrayContaining([expect.objectContaining({ file: 'orders.csv' })]),
    })
  })
})

describe('a start', () => {
  it('keeps added order lines while the folder is unchanged, and opens it anew once it changed', async () => {
    const app = await demoApp()
    const folder = await demoWith({})
    await app.works.open(await readWorksFolder(folder))
    const orders = Buffer.from(app.works.current().files.get('orders.csv') ?? []).toString()
    const fewer = orders.split('\r\n').slice(0, 20).join('\r\n')
    expect((await app.works.changeOrders(Buffer.from(fewer))).row).toMatchObject({
      version: 3,
      cause: 'orders',
    })
    expect((await app.works.reopen(await readWorksFolder(folder))).row.version).toBe(3)
    await writeFile(join(folder, 'orders.csv'), orders.split('\r\n').slice(0, 30).join('\r\n'))
    expect((await app.works.reopen(await readWorksFolder(folder))).row).toMatchObject({
      version: 4,
      cause: 'opened',
    })
  })

  it('refuses changed orders that break the contract and keeps the state before', async () => {
    const app = await demoApp()
    await expect(app.works.changeOrders(Buffer.from('order\r\n'))).rejects.toMatchObject({
      code: 'folder-refused',
    })
    expect(app.works.current().row.version).toBe(1)
  })
})
