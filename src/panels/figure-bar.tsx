import { Button, Dialog, DialogTrigger, Popover } from 'react-aria-components'
import { intakeNoteText } from '../app/problem-text.ts'
import { vertexCount } from '../core/mesh/figure.ts'
import type { Axis, LengthUnit } from '../core/mesh/file-mesh.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { Choose, Segments, Stepper } from './controls.tsx'
import { Icon } from './icons.tsx'
import './figure-bar.css'

const HEIGHTS = [28, 32, 54, 75].map(mm => ({ id: String(mm), label: String(mm) }))

const AXES: readonly { readonly id: Axis; readonly label: string }[] = (
  ['+x', '-x', '+y', '-y', '+z', '-z'] as const
).map(id => ({ id, label: id.replace('-', '−') }))

/** Millimetres in one unit, exact by definition. */
const UNIT_MM: { readonly [U in LengthUnit]: number } = { µm: 0.001, mm: 1, cm: 10, m: 1000, in: 25.4, ft: 304.8 }

/** How the file became a figure of that height: guessed, and corrected in place. */
export function FigureBar() {
  const commands = useCommands()
  const { placement } = useDocument(d => d.figure)
  const file = useApp(s => s.derived.file)

  const chooseUnit = (unit: LengthUnit | 'none') => {
    if (unit === 'none' || !file) return
    const extent = file.extents['xyz'.indexOf(placement.up[1])]
    commands.setPlacement({ unit, heightMm: extent * UNIT_MM[unit] })
  }
  const setHeight = (heightMm: number) => commands.setPlacement({ heightMm, unit: null })

  return (
    <section className="figure-bar" aria-label="Figure">
      <Choose
        label="Unit"
        choices={[
          ...(placement.unit === null ? [{ id: 'none' as const, label: 'free' }] : []),
          ...(Object.keys(UNIT_MM) as LengthUnit[]).map(id => ({ id, label: id })),
        ]}
        value={placement.unit ?? 'none'}
        onChange={chooseUnit}
      />
      <Choose label="Up" choices={AXES} value={placement.up} onChange={up => commands.setPlacement({ up })} />
      <Choose
        label="Front"
        choices={AXES.filter(a => a.id[1] !== placement.up[1])}
        value={placement.front}
        onChange={front => commands.setPlacement({ front })}
      />
      <div className="height">
        <Segments
          label="Usual heights, mm"
          choices={HEIGHTS}
          value={HEIGHTS.find(h => Number(h.id) === placement.heightMm)?.id ?? null}
          onChange={mm => setHeight(Number(mm))}
        />
        <Stepper
          label="Height"
          showLabel={false}
          value={placement.heightMm}
          min={0.1}
          max={10_000}
          step={0.1}
          digits={1}
          unit="mm"
          onChange={setHeight}
        />
      </div>
      <MeshDetail />
    </section>
  )
}

/** Points, edge length and what was put right on the way in. */
function MeshDetail() {
  const commands = useCommands()
  const refinement = useDocument(d => d.figure.refinement)
  const figure = useApp(s => s.derived.figure)
  const file = useApp(s => s.derived.file)
  const notes = useApp(s => s.derived.notes)
  const [first] = notes
  return (
    <DialogTrigger>
      <Button className="button plain figure-detail" isDisabled={!figure}>
        <span className="long">
          {first ? intakeNoteText(first).title : figure ? 'Nothing to repair' : 'Mesh'}
          {notes.length > 1 && `, ${notes.length - 1} more`}
        </span>
        <span className="short">Mesh</span>
        <Icon name="down" />
      </Button>
      <Popover className="popover figure-notes" offset={4} placement="top end">
        <Dialog className="popover-body" aria-label="Mesh">
          <section>
            <h3>What was repaired</h3>
            {notes.length === 0 && <p className="quiet">Nothing had to be.</p>}
            <ul className="note-list">
              {notes.map(note => (
                <li key={note.kind}>
                  {intakeNoteText(note).title}
                  <span className="quiet small">{intakeNoteText(note).advice}</span>
                </li>
              ))}
            </ul>
          </section>
          <section>
            <h3>How fine</h3>
            <Stepper
              label="Longest edge at 32 mm"
              value={refinement.edgeMmAt32}
              min={0.05}
              max={5}
              step={0.05}
              digits={2}
              unit="mm"
              onChange={edgeMmAt32 => commands.setRefinement({ edgeMmAt32 })}
            />
            <Stepper
              label="Vertex budget"
              value={Math.round(refinement.vertexBudget / 1000)}
              min={50}
              max={20_000}
              step={50}
              unit="k"
              onChange={k => commands.setRefinement({ vertexBudget: k * 1000 })}
            />
            <p className="quiet small">
              {figure && `${vertexCount(figure).toLocaleString('en-GB')} vertices, ${figure.parts.length} parts. `}
              {file && `${file.triangles.toLocaleString('en-GB')} triangles in ${file.fileName}.`}
            </p>
          </section>
        </Dialog>
      </Popover>
    </DialogTrigger>
  )
}
