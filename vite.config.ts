import react from '@vitejs/plugin-react'
import { defineConfig } from 'vite'

export default defineConfig({
  root: 'src/web',
  plugins: [react()],
  server: { host: '127.0.0.1', proxy: { '/api': 'http://127.0.0.1:5151' } },
  build: {
    outDir: '../../dist/web',
    emptyOutDir: true,
    // the content policy of the server allows no data: addresses
    assetsInlineLimit: 0,
  },
})
