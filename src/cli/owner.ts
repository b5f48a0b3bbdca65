import { readFile } from 'node:fs/promises'
import type { Command } from 'commander'
import { LastmetreError } from '../quantity/errors.ts'
import { withAccounts } from '../server/accounts-offline.ts'
import { LOCAL_ACCOUNT } from '../works/access-api.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'
import { askUnseen } from './unseen.ts'

interface OwnerOptions {
  badge: string
  name: string
  pinFile?: string
  data?: string
}

/** `owner add` and `accounts`: who may sign in, on the machine itself and without a server. */
export function addOwner(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('owner')
    .description('the owner’s account, which makes the others; the server must not be running')
    .command('add')
    .description('make an owner’s account, or give one a new PIN and open it again')
    .requiredOption('--badge <code>', 'what the scanner reads off the badge')
    .requiredOption('--name <name>', 'name of the person')
    .option('--pin-file <file>', 'file whose first line is the PIN; without it the PIN is asked for')
    .option('--data <dir>', 'folder of the database')
    .addHelpText('after', exitCodes)
    .action(async (options: OwnerOptions) => {
      done(await addOwnerAccount(options))
    })
  const accounts = program.command('accounts').description('who may sign in; the server must not be running')
  accounts
    .command('list')
    .description('all accounts')
    .option('--data <dir>', 'folder of the database')
    .option('--json', 'print them for machines on standard output', false)
    .addHelpText('after', exitCodes)
    .action(async (options: { data?: string; json: boolean }) => {
      done(await listAccounts(options))
    })
  accounts
    .command('close')
    .description('let an account sign in no more; what it booked stays')
    .argument('<badge>', 'badge code of the account')
    .option('--data <dir>', 'folder of the database')
    .addHelpText('after', exitCodes)
    .action(async (badge: string, options: { data?: string }) => {
      const change = { role: null, pin: null, closed: true }
      await withAccounts(options.data ?? null, (desk) => desk.change(badge, change, LOCAL_ACCOUNT))
      process.stdout.write(`${printable(badge)} may not sign in any more.\n`)
      done(EXIT.ok)
    })
}

async function addOwnerAccount({ badge, name, pinFile, data }: OwnerOptions): Promise<number> {
  const pin = pinFile === undefined ? await askedPin() : await pinOfFile(pinFile)
  const what = await withAccounts(data ?? null, (desk) => desk.putOwner(badge, name, pin))
  process.stdout.write(
    what === 'added'
      ? `${printable(name)} is an owner and signs in with the badge ${printable(badge)}.\n`
      : `The account ${printable(badge)} is an owner’s, is open and has the new PIN.\n`,
  )
  return EXIT.ok
}

async function askedPin(): Promise<string> {
  const pin = await askUnseen('PIN, 6 to 12 digits: ')
  if (process.stdin.isTTY && (await askUnseen('The same again: ')) !== pin) {
    throw new LastmetreError('figure-refused', 'The two PINs differ.')
  }
  return pin
}

async function pinOfFile(path: string): Promise<string> {
  try {
    return ((await readFile(path, 'utf8')).split('\n')[0] ?? '').trim()
  } catch (error) {
    throw new LastmetreError('figure-refused', `The PIN file cannot be read: ${(error as Error).message}.`)
  }
}

async function listAccounts({ data, json }: { data?: string; json: boolean }): Promise<number> {
  const accounts = await withAccounts(data ?? null, (desk) => desk.list())
  if (json) process.stdout.write(`${JSON.stringify(accounts)}\n`)
  else if (accounts.length === 0) process.stdout.write('There are no accounts: nobody has to sign in.\n')
  else
    for (const { account, name, role, closed } of accounts)
      process.stdout.write(
        `${printable(account)}\t${role}\t${closed ? 'closed' : 'open'}\t${printable(name)}\n`,
      )
  return EXIT.ok
}
