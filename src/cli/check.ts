import { loadWorks } from '../server/load-works.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import { EXIT } from './exit-codes.ts'
import { printable, printNotices } from './print.ts'

/** Checks a folder; problems are thrown as a refusal. */
export async function checkFolder(folder: string): Promise<number> {
  const content = await readWorksFolder(folder)
  const { works, notices } = loadWorks(content)
  printNotices(notices)
  const { drums, orders, cables } = works
  process.stdout.write(
    `${printable(content.name)}: sound. ${cables.length} cable types, ${drums.length} drums, ` +
      `${orders.length} order lines, ${notices.length} notices.\n`,
  )
  return EXIT.ok
}
