import { useMemo, useState } from 'react'
import { Button, Input, Label, Tab, TabList, TabPanel, Tabs, TextField } from 'react-aria-components'
import type { PaintTask } from '../app/app-state.ts'
import { PAINT_SHELF } from '../core/film/paint-shelf.ts'
import type { Paint, PaintId, Recipe } from '../core/recipe/recipe.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { Frame } from './cautions-dialog.tsx'
import { Fold, round, Stepper } from './controls.tsx'
import { MeasuredForm } from './measured-form.tsx'
import { answerOf, draftOf, type PaintDraft, type PaintWay } from './paint-draft.ts'
import { PaintPreview } from './paint-preview.tsx'
import { PigmentForm } from './pigment-form.tsx'
import { QuickForm } from './quick-form.tsx'
import { swatchAdvice } from './swatch-advice.ts'
import { SwatchForm } from './swatch-form.tsx'
import './paint-dialog.css'

/** A paint of one's own, told in whichever way one knows it. */
export function PaintDialog() {
  const task = useApp(s => (s.session.dialog === 'paint' ? s.session.paintTask : null))
  return task && <PaintEditor key={`${task.paint} ${task.onto}`} task={task} />
}

const WAYS: readonly { readonly id: PaintWay; readonly label: string }[] = [
  { id: 'quick', label: 'Quick' },
  { id: 'swatches', label: 'Two swatches' },
  { id: 'pigments', label: 'Pigments' },
  { id: 'measured', label: 'Measured' },
]

function PaintEditor({ task }: { readonly task: PaintTask }) {
  const commands = useCommands()
  const recipe = useDocument(d => d.recipe)
  const [edited] = useState(() => recipe.paints.find(p => p.id === task.paint) ?? null)
  const [draft, setDraft] = useState(() => draftOf(edited, PAINT_SHELF[0]))
  const change = (patch: Partial<PaintDraft>) => setDraft(before => ({ ...before, ...patch }))
  const answer = useMemo(() => answerOf(draft), [draft])
  const advice = answer.swatches ? swatchAdvice(answer.swatches.read, answer.swatches.answer) : []
  const paint = useMemo((): Paint | null => {
    if (!answer.body) return null
    const { name, volumeSolids, dropletUm } = draft
    return {
      id: edited?.id ?? freeId(recipe.paints),
      name: name.trim() || 'My paint',
      volumeSolids,
      dropletUm,
      body: answer.body,
    }
  }, [answer, draft, edited, recipe.paints])

  const close = () => commands.select({ dialog: null })
  const save = (made: Paint) => {
    commands.putPaint(made, task.onto)
    commands.announce(`Saved ${made.name}`)
    close()
  }
  const users = edited ? usersOf(recipe, edited.id) : 0

  return (
    <Frame
      title={edited ? 'Edit paint' : 'New paint'}
      wide
      isOpen
      onClose={close}
      foot={
        <>
          {users > 1 && <p className="paint-users quiet">Used {users} times in this recipe: all of them change.</p>}
          {edited && (
            <Button
              className="button"
              isDisabled={!paint}
              onPress={() => paint && save({ ...paint, id: freeId(recipe.paints) })}
            >
              Save as a new paint
            </Button>
          )}
          <Button className="button primary" isDisabled={!paint} onPress={() => paint && save(paint)}>
            Save
          </Button>
        </>
      }
    >
      <div className="paint-editor">
        <div className="paint-entries">
          <TextField
            className="text-field"
            value={draft.name}
            onChange={name => change({ name })}
            maxLength={200}
            autoFocus
          >
            <Label>Name on the pot</Label>
            <Input placeholder="My paint" />
          </TextField>
          <Tabs
            className="paint-ways"
            selectedKey={draft.way}
            onSelectionChange={way => change({ way: way as PaintWay })}
          >
            <TabList className="segments" aria-label="How you know this paint">
              {WAYS.map(({ id, label }) => (
                <Tab key={id} id={id} className="segment">
                  {label}
                </Tab>
              ))}
            </TabList>
            <TabPanel id="quick" className="paint-way">
              <QuickForm quick={draft.quick} onChange={quick => change({ quick })} />
            </TabPanel>
            <TabPanel id="swatches" className="paint-way">
              <SwatchForm swatches={draft.swatches} advice={advice} onChange={swatches => change({ swatches })} />
            </TabPanel>
            <TabPanel id="pigments" className="paint-way">
              <PigmentForm pigments={draft.pigments} onChange={pigments => change({ pigments })} />
            </TabPanel>
            <TabPanel id="measured" className="paint-way">
              <MeasuredForm measured={draft.measured} advice={advice} onChange={measured => change({ measured })} />
            </TabPanel>
          </Tabs>
        </div>
        <section className="paint-shown" aria-label="How it will look">
          <PaintPreview paint={paint} onto={task.onto} />
          <Fold title="In the pot" aside={`${round(100 * draft.volumeSolids)} % solids`}>
            <Stepper
              label="Solids by volume"
              value={Math.round(100 * draft.volumeSolids)}
              min={1}
              max={100}
              unit="%"
              onChange={percent => change({ volumeSolids: percent / 100 })}
            />
            <Stepper
              label="Height of a dry droplet"
              hint={<span className="range">at 1 paint + 2 thinner; 0 sprays a film</span>}
              value={draft.dropletUm}
              min={0}
              max={20}
              step={0.01}
              digits={2}
              unit="µm"
              onChange={dropletUm => change({ dropletUm })}
            />
          </Fold>
        </section>
      </div>
    </Frame>
  )
}

const usersOf = (recipe: Recipe, id: PaintId): number =>
  recipe.coats.filter(c => c.kind !== 'varnish' && c.paint === id).length + (recipe.primer.paint === id ? 1 : 0)

function freeId(paints: readonly Paint[]): PaintId {
  let n = 1
  while (paints.some(p => p.id === `own_${n}`)) n++
  return `own_${n}`
}
