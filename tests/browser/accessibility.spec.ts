import { expect } from '@playwright/test'
import { planned } from './hall.ts'
import { test } from './lastmetre.ts'
import { violations } from './violations.ts'

for (const colorScheme of ['light', 'dark'] as const) {
  test(`no place has an accessibility violation, ${colorScheme}`, async ({ page }) => {
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' })
    await planned(page)
    for (const place of ['/plan', '/orders', '/stock', '/our-works']) {
      await page.goto(place)
      await expect(page.locator('.sentence')).toBeVisible()
      if (place === '/orders') await page.locator('.row-button').first().click()
      if (place === '/plan' || place === '/stock') {
        await page.locator('.strip-item').first().focus()
        await expect(page.locator('.card')).toBeVisible()
      }
      expect(await violations(page), place).toEqual([])
    }
  })
}

test('no place is wider than a screen of 320 pixels', async ({ page }) => {
  await page.setViewportSize({ width: 320, height: 640 })
  for (const place of ['/plan', '/orders', '/stock', '/our-works']) {
    await page.goto(place)
    await expect(page.locator('.sentence')).toBeVisible()
    const beyondPx = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
    expect(beyondPx, place).toBeLessThanOrEqual(0)
  }
})

test('every place and the skip link are reached by keyboard, with the focus in sight', async ({ page }) => {
  await page.goto('/plan')
  await expect(page.locator('.sentence')).toBeVisible()
  await page.keyboard.press('Tab')
  await expect(page.locator(':focus')).toHaveText('Go to the content')
  await page.keyboard.press('Enter')
  await expect(page.locator('main')).toBeFocused()
  for (const place of ['Orders', 'Stock', 'Our works']) {
    await page.getByRole('link', { name: place, exact: true }).focus()
    await page.keyboard.press('Enter')
    await expect(page.getByRole('heading', { level: 1 })).toContainText(place)
    await expect(page.locator('main')).toBeFocused()
    await page.keyboard.press('Tab')
    const outlinePx = await page.evaluate(() =>
      Number.parseFloat(getComputedStyle(document.activeElement!).outlineWidth),
    )
    expect(outlinePx, place).toBeGreaterThanOrEqual(2)
  }
})
