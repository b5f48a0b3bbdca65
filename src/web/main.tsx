import { StrictMode } from 'react'
import { createRoot } from 'react-dom/client'
import { App } from './app.tsx'
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
import { WorksProvider } from './works-state.tsx'

createRoot(document.getElementById('root')!).render(
  <StrictMode>
    <WorksProvider>
      <App />
    </WorksProvider>
  </StrictMode>,
)
