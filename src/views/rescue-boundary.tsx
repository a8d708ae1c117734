import { Component, type ReactNode } from 'react'
import { saveAs } from '../panels/save-as.ts'
import type { AppHandle } from '../ui/use-app.ts'
import '../panels/theme.css'
import '../panels/controls.css'
import './rescue-boundary.css'

interface Props {
  readonly app: AppHandle
  readonly children: ReactNode
}

/** Whatever breaks while drawing: the page says so and the work can be taken along. Plain elements, nothing that may break again. */
export class RescueBoundary extends Component<Props, { readonly broken: Error | null }> {
  override state = { broken: null }

  static getDerivedStateFromError(broken: Error) {
    return { broken }
  }

  private readonly save = () => {
    const { fileName, text } = this.props.app.commands.documentFile()
    saveAs(fileName, new Blob([text], { type: 'application/json' }))
  }

  override render() {
    const broken: Error | null = this.state.broken
    if (!broken) return this.props.children
    return (
      <main className="rescue">
        <h1>Something broke on our side</h1>
        <p>Your work is still here. Save a copy, then reload the page; the copy opens like any other file.</p>
        <p className="rescue-row">
          <button type="button" className="button primary" onClick={this.save}>
            Save a copy
          </button>
          <button type="button" className="button" onClick={() => window.location.reload()}>
            Reload
          </button>
        </p>
        <details>
          <summary>What happened</summary>
          <pre>{(broken as Error).stack ?? String(broken)}</pre>
        </details>
      </main>
    )
  }
}
