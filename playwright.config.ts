import { defineConfig } from '@playwright/test'

const { CHROMIUM_PATH } = process.env

export default defineConfig({
  testDir: 'tests/browser',
  testMatch: '**/*.spec.ts',
  outputDir: 'test-results',
  workers: 1,
  timeout: 180_000,
  expect: { timeout: 30_000 },
  use: {
    launchOptions: {
      ...(CHROMIUM_PATH ? { executablePath: CHROMIUM_PATH } : {}),
      // the sandbox needs rights that a container's root does not have; the rest keeps the browser off the network
      args: [
        '--no-sandbox',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
        '--disable-quic',
      ],
    },
  },
})
