import { describe, expect, it } from 'vitest'
import { ask, demoApp, OWNER, signedInAs, signIn } from './harness.ts'

describe('before there are accounts', () => {
  it('whoever sits at the machine may do all', async () => {
    const app = await demoApp({ owner: false })
    const me = await ask(app, { url: '/api/me' })
    expect(me.body).toMatchObject({ account: 'local', role: 'owner', accounts: false, readable: false })
    expect(await ask(app, { method: 'POST', url: '/api/plan/stop' })).toMatchObject({ status: 200 })
  })

  it('nobody else is answered, by whatever name', async () => {
    const app = await demoApp({ owner: false, names: ['hall.local'] })
    const request = { url: '/api/works', headers: { host: 'hall.local:5151' }, remoteAddress: '192.168.1.9' }
    expect(await ask(app, request)).toMatchObject({ status: 403, body: { code: 'owner-missing' } })
  })

  it('the first account is an owner’s, and from then on everybody signs in', async () => {
    const app = await demoApp({ owner: false })
    const make = (role: string) =>
      ask(app, { method: 'POST', url: '/api/accounts', payload: { ...OWNER, role } })
    expect(await make('planner')).toMatchObject({ status: 422, body: { code: 'figure-refused' } })
    expect(await make('owner')).toMatchObject({ status: 200 })
    expect(await ask(app, { url: '/api/works' })).toMatchObject({
      status: 401,
      body: { code: 'sign-in-needed' },
    })
    const { cookie } = await signIn(app, OWNER.account, OWNER.pin)
    expect(await ask(app, { url: '/api/works' }, cookie)).toMatchObject({ status: 200 })
  })
})

describe('accounts', () => {
  const good = { account: 'K-20', name: 'P. Planner', role: 'planner', pin: '730514' }
  it.each([
    [{ ...good, account: 'two words' }, 'A badge is'],
    [{ ...good, account: 'Local' }, 'A badge is'],
    [{ ...good, account: 'k-01' }, 'has an account already'],
    [{ ...good, name: ' ' }, 'A name is'],
    [{ ...good, name: 'A\u202eB' }, 'A name is'],
    [{ ...good, pin: '73051' }, '6 to 12 digits'],
    [{ ...good, pin: '７３０５１４' }, '6 to 12 digits'],
    [{ ...good, pin: '777777' }, 'guessed first'],
    [{ ...good, pin: '456789' }, 'guessed first'],
    [{ ...good, pin: '987654' }, 'guessed first'],
    [{ ...good, account: 'K-730514', pin: '730514' }, 'on the badge'],
  ])('refuses %j', async (payload, words) => {
    const app = await demoApp()
    const owner = await signedInAs(app, 'owner')
    const answer = await ask(app, { method: 'POST', url: '/api/accounts', payload }, owner)
    expect(answer).toMatchObject({ status: 422, body: { message: expect.stringContaining(words) } })
    expect(await app.access.accounts.list()).toHaveLength(1)
  })

  it('propose the people of the works, and never name a PIN', async () => {
    const app = await demoApp()
    const owner = await signedInAs(app, 'owner')
    const first = app.works.current().works.benchHall.people[0]!
    const before = await ask(app, { url: '/api/accounts' }, owner)
    expect(before.body.people).toContainEqual({ id: first.id, role: first.role })
    const payload = { ...good, account: first.id }
    const after = await ask(app, { method: 'POST', url: '/api/accounts', payload }, owner)
    expect(after.body.people).not.toContainEqual({ id: first.id, role: first.role })
    expect(JSON.stringify(after.body)).not.toMatch(/scrypt|730514/)
  })

  it('always leave one owner who can sign in', async () => {
    const app = await demoApp()
    const owner = await signedInAs(app, 'owner')
    const change = (what: object) => {
      const payload = { role: null, pin: null, closed: null, ...what }
      return ask(app, { method: 'POST', url: '/api/accounts/K-01', payload }, owner)
    }
    expect(await change({ closed: true })).toMatchObject({ status: 422 })
    expect(await change({ role: 'planner' })).toMatchObject({ status: 422 })
    await app.access.accounts.add({ ...good, role: 'owner' }, OWNER.account)
    expect(await change({ closed: true })).toMatchObject({ status: 200 })
  })

  it('stand in the ledger with who changed what, and the ledger stays sound', async () => {
    const app = await demoApp()
    const owner = await signedInAs(app, 'owner')
    await ask(app, { method: 'POST', url: '/api/accounts', payload: good }, owner)
    const payload = { role: 'bench', pin: '918273', closed: true }
    await ask(app, { method: 'POST', url: '/api/accounts/K-20', payload }, owner)
    await signIn(app, OWNER.account, '000000')
    const rows = await app.db.selectFrom('ledger_event').select(['actor', 'body']).orderBy('seq').execute()
    const told = rows.map(({ actor, body }) => {
      const { kind, account, what, why } = JSON.parse(body) as Record<string, string>
      return [actor, kind, account, what ?? why]
    })
    expect(told).toEqual([
      ['local', 'account-changed', 'K-01', 'added'],
      ['K-01', 'signed-in', 'K-01', undefined],
      ['K-01', 'account-changed', 'K-20', 'added'],
      ['K-01', 'account-changed', 'K-20', 'role'],
      ['K-01', 'account-changed', 'K-20', 'pin'],
      ['K-01', 'account-changed', 'K-20', 'closed'],
      ['K-01', 'sign-in-refused', 'K-01', 'wrong'],
    ])
  })
})
