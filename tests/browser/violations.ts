import { AxeBuilder } from '@axe-core/playwright'
import type { Page } from '@playwright/test'

/** WCAG 2.2 level A and AA, as far as a machine can check it. */
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']

/** What breaks a rule on the page as it stands, each with where it is. */
export async function violations(page: Page): Promise<string[]> {
  const found = await new AxeBuilder({ page }).withTags(RULES).analyze()
  return found.violations.map((v) => `${v.id} at ${v.nodes.map((n) => n.target).join(' ; ')}`)
}
