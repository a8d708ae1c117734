import { useState } from 'react'
import { Button } from 'react-aria-components'
import type { Side } from '../app/app-state.ts'
import { type Problem, problemOf } from '../core/problem.ts'
import { useStageHandle } from '../ui/stage-handle.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { Frame } from './cautions-dialog.tsx'
import { comparisonPicture } from './comparison-picture.ts'
import { Segments, Stepper, Toggle } from './controls.tsx'
import { useComparison } from './difference-section.tsx'
import { figureTitle } from './figure-title.ts'
import { InlineProblem } from './inline-problem.tsx'
import { saveAs } from './save-as.ts'
import { SideChoice } from './side-choice.tsx'

const SIZES = [
  { id: '1920x1080', label: '1920 × 1080' },
  { id: '2400x2400', label: '2400 × 2400' },
  { id: '3840x2160', label: '3840 × 2160' },
]

export function ExportDialog() {
  const commands = useCommands()
  const isOpen = useApp(s => s.session.dialog === 'export')
  return (
    <Frame title="Export" isOpen={isOpen} onClose={() => commands.select({ dialog: null })}>
      <PictureExport />
      <ComparisonExport />
      <MeshExport />
    </Frame>
  )
}

function PictureExport() {
  const stage = useStageHandle()
  const reference = useDocument(d => d.figure)
  const [width, setWidth] = useState(1920)
  const [height, setHeight] = useState(1080)
  const [background, setBackground] = useState(true)
  const { pictures } = stage
  const { busy, problem, save } = useSaving()

  return (
    <section className="export-section">
      <h3>Picture, PNG</h3>
      <p className="quiet small">What the stage shows now, comparison included, without torches: exact colours.</p>
      <Segments
        label="Size"
        choices={SIZES}
        value={SIZES.find(s => s.id === `${width}x${height}`)?.id ?? null}
        onChange={size => {
          const [w, h] = size.split('x').map(Number)
          setWidth(w)
          setHeight(h)
        }}
      />
      <div className="export-row">
        <Stepper label="Width" value={width} min={64} max={8192} unit="px" onChange={setWidth} />
        <Stepper label="Height" value={height} min={64} max={8192} unit="px" onChange={setHeight} />
      </div>
      <div className="export-row">
        <Toggle isSelected={background} onChange={setBackground}>
          With the grey around it
        </Toggle>
        <Button
          className="button primary"
          isDisabled={busy || !pictures}
          onPress={() =>
            pictures &&
            void save(async () => ({
              fileName: `${figureTitle(reference)}.png`,
              content: await pictures.exportPng({ width, height }, background),
            }))
          }
        >
          {busy ? 'Drawing…' : 'Save the picture'}
        </Button>
      </div>
      {problem && <InlineProblem problem={problem} />}
    </section>
  )
}

/** Both sides in one picture, with what is said about them: for whoever is to be shown. */
function ComparisonExport() {
  const stage = useStageHandle()
  const reference = useDocument(d => d.figure)
  const camera = useDocument(d => d.camera)
  const difference = useDocument(d => d.look.kind === 'difference')
  const comparison = useComparison()
  const { pictures } = stage
  const { busy, problem, save } = useSaving()
  if (!comparison) return null

  return (
    <section className="export-section">
      <h3>Both sides with captions, PNG</h3>
      <p className="quiet small">{comparison.words}</p>
      <div className="export-row">
        <span className="quiet small">
          {difference && 'The stage shows the difference: choose another look first.'}
        </span>
        <Button
          className="button primary"
          isDisabled={busy || difference || !pictures}
          onPress={() =>
            pictures &&
            void save(async () => ({
              fileName: `${figureTitle(reference)}-compared.png`,
              content: await comparisonPicture(pictures, camera, comparison),
            }))
          }
        >
          {busy ? 'Drawing…' : 'Save both sides'}
        </Button>
      </div>
      {problem && <InlineProblem problem={problem} />}
    </section>
  )
}

function MeshExport() {
  const commands = useCommands()
  const comparing = useApp(s => s.derived.sides.other !== null)
  const painted = useApp(s => s.derived.sides.main !== null)
  const [side, setSide] = useState<Side>('main')
  const { busy, problem, save } = useSaving()

  return (
    <section className="export-section">
      <h3>Figure, GLB</h3>
      <p className="quiet small">
        The mesh in metres with the paint in its vertex colours, for any program that reads glTF.
      </p>
      <div className="export-row">
        {comparing ? <SideChoice value={side} onChange={setSide} /> : <span />}
        <Button
          className="button primary"
          isDisabled={busy || !painted}
          onPress={() =>
            void save(async () => {
              const { fileName, bytes } = await commands.exportGlb(comparing ? side : 'main')
              return { fileName, content: new Blob([bytes as Uint8Array<ArrayBuffer>], { type: 'model/gltf-binary' }) }
            })
          }
        >
          {busy ? 'Writing…' : 'Save the figure'}
        </Button>
      </div>
      {problem && <InlineProblem problem={problem} />}
    </section>
  )
}

/** One file to be made and saved: closes the dialog, or says what went wrong. */
function useSaving() {
  const commands = useCommands()
  const [busy, setBusy] = useState(false)
  const [problem, setProblem] = useState<Problem | null>(null)
  const save = async (make: () => Promise<{ readonly fileName: string; readonly content: Blob }>) => {
    setBusy(true)
    setProblem(null)
    try {
      const { fileName, content } = await make()
      saveAs(fileName, content)
      commands.announce(`Saved ${fileName}`)
      commands.select({ dialog: null })
    } catch (thrown) {
      setProblem(problemOf(thrown))
    } finally {
      setBusy(false)
    }
  }
  return { busy, problem, save }
}
