import { useEffect, useState } from 'react'

const ASK_EVERY_MS = 120_000
const NO_ANSWER_MS = 10_000

/** The script of a page as the server builds it: its name changes with its content. */
function scriptOf(html: string): string | null {
  return /<script[^>]+src="([^"]+)"/.exec(html)?.[1] ?? null
}

/** Whether the server has other screens by now than this page: a tablet may stay open for weeks. */
export function useOlderPage(): boolean {
  const [older, setOlder] = useState(false)
  useEffect(() => {
    const own = document.querySelector<HTMLScriptElement>('script[type="module"][src]')?.getAttribute('src')
    const look = async () => {
      try {
        const signal = AbortSignal.timeout(NO_ANSWER_MS)
        const response = await fetch('/index.html', { cache: 'no-store', signal })
        const now = response.ok ? scriptOf(await response.text()) : null
        if (own && now) setOlder(now !== own)
      } catch {
        // away: asked again later
      }
    }
    void look()
    const timer = setInterval(() => void look(), ASK_EVERY_MS)
    const again = () => void look()
    window.addEventListener('online', again)
    document.addEventListener('visibilitychange', again)
    return () => {
      clearInterval(timer)
      window.removeEventListener('online', again)
      document.removeEventListener('visibilitychange', again)
    }
  }, [])
  return older
}
