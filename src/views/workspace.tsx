import { lazy, Suspense, useEffect, useMemo, useRef, useState, useSyncExternalStore } from 'react'
import { Button, I18nProvider } from 'react-aria-components'
import type { Session } from '../app/app-state.ts'
import { BeginnersStart, FiveStepCard } from '../panels/beginners-start.tsx'
import { CautionsDialog } from '../panels/cautions-dialog.tsx'
import { FigureBar } from '../panels/figure-bar.tsx'
import { HeaderBar, OPENABLE } from '../panels/header-bar.tsx'
import { Icon } from '../panels/icons.tsx'
import { LayersCard } from '../panels/layers-card.tsx'
import { LookLegends } from '../panels/look-legends.tsx'
import { NoticeToast } from '../panels/notice-toast.tsx'
import { ReadingPanel } from '../panels/reading-panel.tsx'
import { saveAs } from '../panels/save-as.ts'
import { SeeingBar } from '../panels/seeing-bar.tsx'
import { StackPanel } from '../panels/stack-panel.tsx'
import { IntakeCard, ProblemBanner, ProgressLine, StageTags } from '../panels/stage-overlays.tsx'
import { useDroppedFiles } from '../panels/use-dropped-files.ts'
import { ViewsBar } from '../panels/views-bar.tsx'
import { pacedStore } from '../ui/paced-store.ts'
import { AppProvider, useApp, useAppHandle, useCommands } from '../ui/use-app.ts'
import { Stage } from './stage.tsx'
import '../panels/theme.css'
import '../panels/dialogs.css'
import './workspace.css'

/** One window, no modes: stack, stage, reading. The stage follows every change, the panels around it those they can. */
export function Workspace() {
  const app = useAppHandle()
  const { commands } = app
  const paced = useMemo(() => ({ ...app, store: pacedStore(app.store) }), [app])
  const narrow = useMedia('(max-width: 1200px)')
  const kept = useApp(s => s.preferences.readingFolded)
  // As a drawer over the figure it is for a look now and then: closed to begin with, and not worth remembering.
  const [drawer, setDrawer] = useState(false)
  const folded = narrow ? !drawer : kept
  const fold = (away: boolean) => (narrow ? setDrawer(!away) : commands.setPreferences({ readingFolded: away }))
  const starting = useApp(s => s.session.dialog === 'start')
  const learning = useApp(s => s.session.learning !== null)
  const taught = starting || learning
  const picker = useRef<HTMLInputElement>(null)
  const open = () => picker.current?.click()
  useKeys(open)

  return (
    <AppProvider app={paced}>
      <I18nProvider locale="en-GB">
        <div
          className="workspace"
          data-folded={(folded && !taught) || undefined}
          data-starting={taught || undefined}
          data-learning={learning || undefined}
        >
          <HeaderBar onOpenFigure={open} />
          {/* A lesson says what there is to move: coats and size are none of it. */}
          {!learning && <StackPanel />}
          <main className="middle">
            <SeeingBar />
            <div className="stage-place">
              <AppProvider app={app}>
                <Stage>
                  <ViewsBar />
                  <StageTags />
                  <LookLegends />
                  <FiveStepCard />
                  <LayersCard />
                </Stage>
              </AppProvider>
              <ProgressLine />
              <EmptyState onOpen={open} />
              <IntakeCard />
              <ProblemBanner />
              <NoticeToast />
              {folded && !taught && (
                <Button className="button unfold" onPress={() => fold(false)}>
                  <Icon name="left" />
                  Reading
                </Button>
              )}
            </div>
            {!learning && (
              <div className="dock">
                <FigureBar />
              </div>
            )}
          </main>
          {starting ? (
            <BeginnersStart />
          ) : learning ? (
            <Suspense fallback={<aside className="start" />}>
              <LessonPanel />
            </Suspense>
          ) : (
            !folded && <ReadingPanel onFold={() => fold(true)} />
          )}
        </div>
        <DropHint />
        <input
          ref={picker}
          type="file"
          multiple
          hidden
          accept={OPENABLE}
          data-testid="open-files"
          onChange={event => {
            const files = [...(event.target.files ?? [])]
            // The same file may be chosen again.
            event.target.value = ''
            if (files.length > 0) void commands.openFiles(files)
          }}
        />
        <CautionsDialog />
        <LateDialog />
      </I18nProvider>
    </AppProvider>
  )
}

/** Fetched when first opened: nobody needs them to begin. */
const LATE_DIALOGS: { readonly [name in NonNullable<Session['dialog']>]?: ReturnType<typeof lazy> } = {
  recipe: lazy(() => import('../panels/recipe-dialog.tsx').then(m => ({ default: m.RecipeDialog }))),
  export: lazy(() => import('../panels/export-dialog.tsx').then(m => ({ default: m.ExportDialog }))),
  calibration: lazy(() => import('../panels/calibration-dialog.tsx').then(m => ({ default: m.CalibrationDialog }))),
  paint: lazy(() => import('../panels/paint-dialog.tsx').then(m => ({ default: m.PaintDialog }))),
  'arms-length': lazy(() => import('../panels/arms-length-dialog.tsx').then(m => ({ default: m.ArmsLengthDialog }))),
}

function LateDialog() {
  const name = useApp(s => s.session.dialog)
  const Dialog = name === null ? undefined : LATE_DIALOGS[name]
  return <Suspense fallback={null}>{Dialog && <Dialog />}</Suspense>
}

const LessonPanel = lazy(() => import('../panels/lesson-panel.tsx').then(m => ({ default: m.LessonPanel })))

function useMedia(query: string): boolean {
  return useSyncExternalStore(
    changed => {
      const list = window.matchMedia(query)
      list.addEventListener('change', changed)
      return () => list.removeEventListener('change', changed)
    },
    () => window.matchMedia(query).matches,
  )
}

/** Undo, redo, save and open from anywhere; text fields keep their own undo. */
function useKeys(open: () => void): void {
  const { commands } = useAppHandle()
  const latestOpen = useRef(open)
  latestOpen.current = open
  useEffect(() => {
    const onKeyDown = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return
      const key = event.key.toLowerCase()
      const target = event.target as HTMLElement
      const writing =
        target instanceof HTMLTextAreaElement ||
        (target instanceof HTMLInputElement && target.type === 'text' && target.inputMode === '')
      if (key === 'z' && !writing) {
        if (event.shiftKey) commands.redo()
        else commands.undo()
      } else if (key === 'y' && !writing) commands.redo()
      else if (key === 's') {
        const { fileName, text } = commands.documentFile()
        saveAs(fileName, new Blob([text], { type: 'application/json' }))
        commands.announce(`Saved ${fileName}`)
      } else if (key === 'o') latestOpen.current()
      else return
      event.preventDefault()
    }
    window.addEventListener('keydown', onKeyDown)
    return () => window.removeEventListener('keydown', onKeyDown)
  }, [commands])
}

/** The whole window takes files. */
function DropHint() {
  const commands = useCommands()
  const over = useDroppedFiles(files => void commands.openFiles(files))
  return over ? (
    <div className="drop-hint" aria-hidden="true">
      <p>Drop the figure here</p>
    </div>
  ) : null
}

/** Nothing stands on the stage: what to do, in the order of how likely it is wanted. */
function EmptyState({ onOpen }: { readonly onOpen: () => void }) {
  const commands = useCommands()
  const empty = useApp(s => s.session.ready && s.derived.figure === null && s.session.intake === null)
  if (!empty) return null
  return (
    <section className="empty" aria-label="No figure yet">
      <h2>Put a figure on the table</h2>
      <p className="quiet">
        Drop an STL, OBJ, PLY, GLB, glTF or 3MF anywhere in this window. It stays on this machine.
      </p>
      <div className="empty-row">
        <Button className="button primary" onPress={onOpen}>
          Open a figure
        </Button>
        <Button className="button" onPress={() => void commands.openBuiltIn('sentinel')}>
          Take the sentinel
        </Button>
        <Button className="button plain" onPress={() => commands.select({ dialog: 'start', startStep: 0 })}>
          New to this? Start here
        </Button>
      </div>
    </section>
  )
}
