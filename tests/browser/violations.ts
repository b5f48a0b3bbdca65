import { AxeBuilder } from '@axe-core/playwright'
import type { Page } from '@playwright/test'

/** WCAG 2.2 level A and AA, as far as a machine can check it. */
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']

/** What breaks a rule on the page as it stands, each with where it is. */
export async function violations(page: Page): Promise<string[]> {
  return found(new AxeBuilder({ page }).withTags(RULES))
}

/** The same for the one rule that hangs on the colours. */
export async function contrastViolations(page: Page): Promise<string[]> {
  return found(new AxeBuilder({ page }).withRules('color-contrast'))
}

async function found(axe: AxeBuilder): Promise<string[]> {
  return (await axe.analyze()).violations.map((v) => `${v.id} at ${v.nodes.map((n) => n.target).join(' ; ')}`)
}
