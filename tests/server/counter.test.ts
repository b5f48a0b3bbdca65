import { describe, expect, it } from 'vitest'
import type { App } from '../../src/server/app.ts'
import { readWholeFolder } from '../../src/server/kept-more.ts'
import type { ChecksPreview, LineAnswer } from '../../src/works/api.ts'
import { DEMO } from '../support/demo.ts'
import { ask, demoApp, multipart } from './harness.ts'

const HEAD = 'date;line;cable;counter_m;tape_m;temp_c;tension_n;speed_m_min;person'
const check = (counter: string, tape: string, date = '2031-03-03') =>
  `${date};RW-1;C081-50;${counter};${tape};20;23;60;P1`

const previewed = async (app: App, rows: string[]) => {
  const answer = await ask(app, {
    method: 'POST',
    url: '/api/counter/preview',
    payload: { text: [HEAD, ...rows].join('\n') },
  })
  return { status: answer.status, body: answer.body as ChecksPreview }
}
const post = (app: App, url: string, payload: object) => ask(app, { method: 'POST', url, payload })

describe('tape checks', () => {
  it('are shown as understood, stored after the press, and then counted', async () => {
    const app = await demoApp()
    const before = app.works.current()
    const { body } = await previewed(app, [check('50,05', '50,000')])
    expect(body.understood).toEqual({ source: 'semicolon', decimalMark: ',', rows: 1 })
    expect(body.rows[0]).toMatchObject({ counter_m: '50.05', tape_m: '50.000' })
    expect(body.notes.join()).toContain('RW-1: the correction in force')
    expect(app.works.current()).toBe(before)
    expect((await post(app, '/api/counter/checks', { token: body.token })).status).toBe(200)
    const { works, row } = app.works.current()
    expect(works.counterChecks).toHaveLength(before.works.counterChecks.length + 1)
    expect(works.counterChecks.at(-1)).toMatchObject({ line: 'RW-1', counterM: 50.05, tapeM: 50 })
    expect(row).toMatchObject({ cause: 'orders', change: 'counter checks' })
  })

  it('are not stored twice, and not on a works that has changed since', async () => {
    const app = await demoApp()
    const first = await previewed(app, [check('50.05', '50')])
    const second = await previewed(app, [check('50.04', '50')])
    await post(app, '/api/counter/checks', { token: first.body.token })
    const stale = await post(app, '/api/counter/checks', { token: second.body.token })
    expect(stale).toMatchObject({ status: 409, body: { code: 'preview-stale' } })
    const again = await previewed(app, [check('50.050', '50.0')])
    expect(again.body).toMatchObject({
      token: '',
      notes: ['1 of them is recorded already and not stored twice.'],
    })
  })

  it('in feet against metres are said to be set aside', async () => {
    // 1 ft = 0.3048 m exactly (international yard and pound agreement, 1959): 50 m are 164.04 ft
    const { body } = await previewed(await demoApp(), [check('164.04', '50')])
    expect(body.notes.join()).toContain('differ as feet and metres do')
  })

  it.each([
    ['a line that is not there', check('50', '50').replace('RW-1', 'RW-9'), 'line'],
    ['a day that is not', check('50', '50', '2031-02-30'), 'date'],
    ['a tape of nought', check('50', '0'), 'tape_m'],
    ['a figure that may be a thousand', check('50,012', '50'), 'counter_m'],
    ['markup for an id', check('50', '50').replace('P1', '<b>P1</b>'), 'person'],
  ])('are refused with their cell: %s', async (_, row, column) => {
    const { body } = await previewed(await demoApp(), [row])
    expect(body.token).toBe('')
    expect(body.problems[0]).toMatchObject({ row: 2, column })
  })
})

describe('a length guard', () => {
  it('is accepted for the works as it was shown, and only then', async () => {
    const app = await demoApp()
    const { version } = app.works.current().row
    const stale = await post(app, '/api/counter/guard', { version: version + 1, lengthGuardRatio: 0.002 })
    expect(stale).toMatchObject({ status: 409, body: { code: 'figures-stale' } })
    const before = app.works.current().works.site
    expect((await post(app, '/api/counter/guard', { version, lengthGuardRatio: 0.00125 })).status).toBe(200)
    const { site } = app.works.current().works
    const { lengthGuardRatio, ...others } = site.cutRules
    expect(lengthGuardRatio).toBe(0.00125)
    expect({ ...site, cutRules: others }).toEqual({
      ...before,
      cutRules: (({ lengthGuardRatio: _, ...rest }) => rest)(before.cutRules),
    })
    expect(
      (await post(app, '/api/counter/guard', { version: version + 1, lengthGuardRatio: -0.1 })).status,
    ).toBe(400)
  })
})

describe('what stands in more/', () => {
  it('is kept with the works and answered', async () => {
    const app = await demoApp({ open: false })
    await app.works.open(await readWholeFolder(DEMO))
    const { body } = await ask(app, { method: 'GET', url: '/api/line' })
    const line = body as LineAnswer
    expect(line.records.cuts?.[0]?.id).toBe('K31-0412')
    expect(line.line.lineSettings?.[0]).toMatchObject({ line: 'RW-1', input: 'payoffDriven', value: true })
    expect(line.lineRun.length).toBe(app.works.current().works.lineRun.length)
    // order lines and checks that are added later leave it where it is
    const { body: preview } = await previewed(app, [check('50.05', '50')])
    await post(app, '/api/counter/checks', { token: preview.token })
    const after = (await ask(app, { method: 'GET', url: '/api/line' })).body as LineAnswer
    expect(after.records).toEqual(line.records)
  })

  it('refuses the folder where it breaks its contract', async () => {
    const app = await demoApp({ open: false })
    const content = await readWholeFolder(DEMO)
    content.files.set(
      'more/counters.csv',
      Buffer.from('line,verified_date,verification_due_date\r\nRW-9,,\r\n'),
    )
    await expect(app.works.open(content)).rejects.toMatchObject({ code: 'folder-refused' })
    expect(app.works.isOpen()).toBe(false)
  })

  it('may be changed in the folder without what was added to the works being lost', async () => {
    const app = await demoApp({ open: false })
    const content = await readWholeFolder(DEMO)
    await app.works.open(content)
    const { body } = await previewed(app, [check('50.05', '50')])
    await post(app, '/api/counter/checks', { token: body.token })
    const changed = new Map(content.files)
    changed.delete('more/cuts.csv')
    const reopened = await app.works.reopen({ ...content, files: changed })
    expect(reopened.more.records.cuts).toBeNull()
    expect(reopened.works.counterChecks.at(-1)).toMatchObject({ counterM: 50.05 })
  })

  it('is taken from a folder that a browser sends', async () => {
    const app = await demoApp({ open: false })
    const { files } = await readWholeFolder(DEMO)
    const sent = multipart(
      { folder: 'sent' },
      [...files].map(([name, bytes]) => ({ name, bytes })),
    )
    const answer = await ask(app, { method: 'POST', url: '/api/works/upload', ...sent })
    expect(answer.status).toBe(200)
    expect(app.works.current().more.records.seals?.[0]?.line).toBe('RW-1')
  })
})
