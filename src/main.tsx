import '@fontsource-variable/inter'
import { StrictMode } from 'react'
import { createRoot } from 'react-dom/client'
import { createApp } from './app/app.ts'
import { browserEnvironment } from './app/browser-environment.ts'
import { createStageHandle, StageHandleProvider } from './ui/stage-handle.ts'
import { AppProvider } from './ui/use-app.ts'
import { RescueBoundary } from './views/rescue-boundary.tsx'
import { Workspace } from './views/workspace.tsx'

const app = createApp(browserEnvironment())
const stage = createStageHandle()

// For whoever drives the page by script: tests, benches, the curious.
Object.assign(window, { greycoat: { store: app.store, commands: app.commands, stage } })

// Measurements of this very page: none of their code is loaded without being asked for.
const bench = new URLSearchParams(location.search).get('bench')
if (bench) void import('./bench/bench-page.ts').then(({ runBench }) => runBench(bench, app))

// A hidden page may never come back.
document.addEventListener('visibilitychange', () => {
  if (document.visibilityState === 'hidden') void app.saveNow()
})

createRoot(document.getElementById('root')!).render(
  <StrictMode>
    <RescueBoundary app={app}>
      <AppProvider app={app}>
        <StageHandleProvider handle={stage}>
          <Workspace />
        </StageHandleProvider>
      </AppProvider>
    </RescueBoundary>
  </StrictMode>,
)
