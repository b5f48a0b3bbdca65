import { StrictMode } from 'react'
import { createRoot } from 'react-dom/client'
import { MeProvider } from './access/me-state.tsx'
import { App } from './app.tsx'
import { keepShell } from './keep-shell.ts'
import './styles/tokens.css'
import './styles/base.css'
import './styles/top-line.css'
import './styles/parts.css'
import './styles/table.css'
import './styles/drawing.css'
import './styles/places.css'
import './styles/try.css'
import './styles/bench.css'
import './styles/line.css'
import './styles/stock.css'
import './styles/floor.css'
import './styles/access.css'
import './styles/records.css'
import { WorksProvider } from './works-state.tsx'

createRoot(document.getElementById('root')!).render(
  <StrictMode>
    <MeProvider>
      <WorksProvider>
        <App />
      </WorksProvider>
    </MeProvider>
  </StrictMode>,
)

keepShell()
