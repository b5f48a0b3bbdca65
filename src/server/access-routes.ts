import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { ROLES } from '../ledger/roles.ts'
import type {
  AccountChange,
  AccountsAnswer,
  AccountView,
  Me,
  NewAccount,
  SignInRequest,
} from '../works/access-api.ts'
import { actorOf, askAnew, sessionId, setSession } from './access.ts'
import type { AccessDesks } from './access-desks.ts'
import { errorShape } from './schemas.ts'
import type { WorksDesk } from './works-desk.ts'

const role = z.enum(ROLES)
const signInBody = z.strictObject({
  badge: z.string().min(1).max(100),
  pin: z.string().min(1).max(100),
}) satisfies z.ZodType<SignInRequest>
const newAccountBody = z.strictObject({
  account: z.string().max(100),
  name: z.string().max(1_000),
  role,
  pin: z.string().max(100),
}) satisfies z.ZodType<NewAccount>
const changeBody = z.strictObject({
  role: role.nullable(),
  pin: z.string().max(100).nullable(),
  closed: z.boolean().nullable(),
}) satisfies z.ZodType<AccountChange>
const accountParams = z.strictObject({ account: z.string().min(1).max(100) })
const meShape = z.object({
  account: z.string().nullable(),
  name: z.string(),
  role: role.nullable(),
  accounts: z.boolean(),
  readable: z.boolean(),
  pass: z.string().nullable(),
  leftMs: z.number().nullable(),
}) satisfies z.ZodType<Me>
const accountsShape = z.object({
  accounts: z.array(z.custom<AccountView>()),
  people: z.array(z.object({ id: z.string(), role: z.string() })),
}) satisfies z.ZodType<AccountsAnswer>

/** Who is signed in, signing in and out, and the accounts. */
export function accessRoutes(desks: AccessDesks, works: WorksDesk): FastifyPluginAsyncZod {
  const list = async (): Promise<AccountsAnswer> => {
    const accounts = await desks.accounts.list()
    const known = new Set(accounts.map((row) => row.account))
    const people = works.isOpen() ? works.current().works.benchHall.people : []
    return {
      accounts,
      people: people.filter(({ id }) => !known.has(id)).map(({ id, role }) => ({ id, role })),
    }
  }
  return async (app) => {
    app.get(
      '/api/me',
      {
        config: { deed: 'anyone', byItself: true },
        schema: { summary: 'Who is signed in here', response: { 200: meShape, '4xx': errorShape } },
      },
      async (request) => request.me,
    )
    app.post(
      '/api/sign-in',
      {
        config: { deed: 'anyone' },
        schema: {
          summary: 'Signs in with badge and PIN; sets the session cookie',
          body: signInBody,
          response: { 200: meShape, '4xx': errorShape },
        },
      },
      async (request, reply) => {
        const before = sessionId(request)
        const id = await desks.signIn.signIn(request.body, request.ip)
        // one station is one person's at a time
        if (before !== null) await desks.sessions.end(before)
        setSession(request, reply, id)
        return askAnew(request, desks.sessions, id)
      },
    )
    app.post(
      '/api/sign-out',
      {
        config: { deed: 'anyone' },
        schema: { summary: 'Ends the session', response: { 200: meShape, '4xx': errorShape } },
      },
      async (request, reply) => {
        const id = sessionId(request)
        if (id === null) return request.me
        setSession(request, reply, null)
        await desks.sessions.end(id)
        return askAnew(request, desks.sessions, null)
      },
    )
    await app.register(accountRoutes(desks, list))
  }
}

function accountRoutes(desks: AccessDesks, list: () => Promise<AccountsAnswer>): FastifyPluginAsyncZod {
  const response = { 200: accountsShape, '4xx': errorShape }
  return async (app) => {
    app.get(
      '/api/accounts',
      {
        config: { deed: 'manage-accounts' },
        schema: { summary: 'Who may sign in, and proposals from the people of the works', response },
      },
      list,
    )
    app.post(
      '/api/accounts',
      {
        config: { deed: 'manage-accounts' },
        schema: { summary: 'Makes an account; the first one is the owner’s', body: newAccountBody, response },
      },
      async (request) => {
        await desks.accounts.add(request.body, actorOf(request))
        return list()
      },
    )
    app.post(
      '/api/accounts/:account',
      {
        config: { deed: 'manage-accounts' },
        schema: {
          summary: 'Changes role or PIN, closes or reopens an account; its sessions end',
          params: accountParams,
          body: changeBody,
          response,
        },
      },
      async (request) => {
        await desks.accounts.change(request.params.account, request.body, actorOf(request))
        await desks.sessions.endOpenAnswers()
        return list()
      },
    )
  }
}
