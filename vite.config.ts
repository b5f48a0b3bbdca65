import { createHash } from 'node:crypto'
import { fileURLToPath } from 'node:url'
import react from '@vitejs/plugin-react'
import { defineConfig, type Plugin } from 'vite'

const WORKER = 'service-worker.js'
const web = (file: string) => fileURLToPath(new URL(`./src/web/${file}`, import.meta.url))

/** Tells the service worker what the shell is: every built file, by a hash that changes with any of them. */
function shellList(): Plugin {
  return {
    name: 'shell-list',
    apply: 'build',
    enforce: 'post',
    generateBundle: {
      order: 'post',
      handler(_options, bundle) {
        const built = Object.values(bundle).filter((file) => file.fileName !== WORKER)
        const hash = createHash('sha256')
        for (const file of built.sort((a, b) => (a.fileName < b.fileName ? -1 : 1)))
          hash.update(file.fileName).update(file.type === 'chunk' ? file.code : file.source)
        const paths = [...built.map((file) => `/${file.fileName}`), '/mark.svg']
        const shell = JSON.stringify({ version: hash.digest('hex').slice(0, 16), paths })
        const worker = bundle[WORKER]
        if (worker?.type !== 'chunk') throw new Error('The service worker was not built.')
        worker.code = `const SHELL=${shell};\n${worker.code}`
      },
    },
  }
}

export default defineConfig({
  root: 'src/web',
  plugins: [react(), shellList()],
  server: { host: '127.0.0.1', proxy: { '/api': 'http://127.0.0.1:5151' } },
  build: {
    outDir: '../../dist/web',
    emptyOutDir: true,
    // the content policy of the server allows no data: addresses
    assetsInlineLimit: 0,
    rolldownOptions: {
      input: { index: web('index.html'), 'service-worker': web('service-worker.ts') },
      output: {
        // its address must stay the same for ever, or a browser never hears of a newer one
        entryFileNames: ({ name }) => (name === 'service-worker' ? WORKER : 'assets/[name]-[hash].js'),
      },
    },
  },
})
