import { useState } from 'react'
import { Button, Dialog, DialogTrigger, FileTrigger, Popover } from 'react-aria-components'
import { lStarOfLuminance, luminanceOfLStar } from '../core/colour/lab.ts'
import type { Problem } from '../core/problem.ts'
import type { Arrangement, Compare, Look } from '../document/document.ts'
import { openRecipe } from '../document/document-file.ts'
import { useCommands, useDocument } from '../ui/use-app.ts'
import { Choose, Drag, Segments, Toggle } from './controls.tsx'
import { Icon } from './icons.tsx'
import { InlineProblem } from './inline-problem.tsx'
import { LightSwitch } from './light-switch.tsx'
import './seeing-bar.css'

const LOOKS = [
  { id: 'painted', label: 'Painted' },
  { id: 'value', label: 'Value' },
  { id: 'steps', label: 'Steps' },
] as const

/** Looks that show no paint but where something is. */
const MAPS = [
  { id: 'deposit', label: 'Build-up', about: 'How much paint lies where, in µm.' },
  { id: 'isolines', label: 'Spray lines', about: 'Lines of equal spray from the pre-shade’s torches.' },
] as const
const DIFFERENCE = { id: 'difference', label: 'Difference', about: 'How far apart the two sides are.' } as const

const ARRANGEMENTS = [
  { id: 'off', label: 'Off' },
  { id: 'seam', label: 'Seam' },
  { id: 'side-by-side', label: 'Side by side' },
] as const

/** How the figure is looked at: the look, what it is compared with, under which light. */
export function SeeingBar() {
  return (
    <div className="seeing" role="toolbar" aria-label="How the figure is shown">
      <LookSwitch />
      <CompareSwitch />
      <LightSwitch />
    </div>
  )
}

function LookSwitch() {
  const commands = useCommands()
  const look = useDocument(d => d.look)
  const comparing = useDocument(d => d.compare.kind !== 'off')
  const maps = comparing ? [...MAPS, DIFFERENCE] : MAPS
  const choose = (kind: Look['kind']) => {
    if (kind === 'steps') commands.setLook({ kind, count: 5 })
    else if (kind === 'deposit') commands.setLook({ kind, coat: null })
    else commands.setLook({ kind })
  }
  return (
    <div className="seeing-group">
      <Segments
        label="Look"
        choices={LOOKS}
        value={LOOKS.find(l => l.id === look.kind)?.id ?? null}
        onChange={choose}
      />
      <Choose
        label="Map"
        showLabel={false}
        choices={maps}
        value={maps.find(m => m.id === look.kind)?.id ?? null}
        placeholder="Map"
        onChange={choose}
      />
      {look.kind === 'steps' && (
        <Choose
          label="Steps"
          showLabel={false}
          choices={[3, 4, 5, 6, 7, 9].map(n => ({ id: String(n), label: `${n} steps` }))}
          value={String(look.count)}
          onChange={count => commands.setLook({ kind: 'steps', count: Number(count) })}
        />
      )}
      {look.kind === 'deposit' && <DepositCoat coat={look.coat} />}
    </div>
  )
}

function DepositCoat({ coat }: { readonly coat: string | null }) {
  const commands = useCommands()
  const coats = useDocument(d => d.recipe.coats)
  return (
    <Choose
      label="Build-up of"
      showLabel={false}
      choices={[
        { id: 'all', label: 'all coats' },
        ...coats.map(c => ({ id: c.id, label: c.name || 'unnamed coat' })).reverse(),
      ]}
      value={coat ?? 'all'}
      onChange={id => commands.setLook({ kind: 'deposit', coat: id === 'all' ? null : id })}
    />
  )
}

function CompareSwitch() {
  const commands = useCommands()
  const compare = useDocument(d => d.compare)
  const choose = (kind: 'off' | Arrangement['kind']) => {
    if (kind === 'off') return commands.setCompare({ kind })
    const arrangement: Arrangement = kind === 'seam' ? { kind, at: 0.5 } : { kind }
    commands.setCompare(
      compare.kind === 'off' ? { kind: 'flat', arrangement, greyY: null } : { ...compare, arrangement },
    )
  }
  return (
    <div className="seeing-group">
      <span className="seeing-label" id="compare-label">
        Compare
      </span>
      <Segments
        label="Compare"
        choices={ARRANGEMENTS}
        value={compare.kind === 'off' ? 'off' : compare.arrangement.kind}
        onChange={choose}
      />
      {compare.kind !== 'off' && <Against compare={compare} />}
    </div>
  )
}

type Beside = Exclude<Compare, { readonly kind: 'off' }>

function Against({ compare }: { readonly compare: Beside }) {
  const commands = useCommands()
  const recipe = useDocument(d => d.recipe)
  const [problem, setProblem] = useState<Problem | null>(null)
  const { arrangement } = compare

  const openFile = async (files: FileList | null) => {
    const file = files?.[0]
    if (!file) return
    const opened = openRecipe(await file.text(), file.name)
    setProblem(opened.ok ? null : opened.problem)
    if (opened.ok) commands.setCompare({ kind: 'recipe', arrangement, recipe: opened.value })
  }

  return (
    <DialogTrigger>
      <Button className="select-button" aria-label="Compare against">
        <span className="against-name">
          {compare.kind === 'flat' ? 'flat base' : compare.recipe.name || 'another recipe'}
        </span>
        <Icon name="down" />
      </Button>
      <Popover className="popover against" offset={4}>
        <Dialog className="popover-body" aria-label="Compare against">
          <section>
            <h3>The same coats over one flat grey</h3>
            <p className="quiet small">Shows what the pre-shade is worth under these coats.</p>
            <Toggle
              isSelected={compare.kind === 'flat' && compare.greyY === null}
              onChange={automatic => commands.setCompare({ kind: 'flat', arrangement, greyY: automatic ? null : 0.2 })}
            >
              as light as the pre-shade is on average
            </Toggle>
            {compare.kind === 'flat' && compare.greyY !== null && (
              <Drag
                label="Grey of the base"
                value={Math.round(lStarOfLuminance(compare.greyY))}
                min={0}
                max={100}
                shown={`value ${Math.round(lStarOfLuminance(compare.greyY))}`}
                gesture="flat-grey"
                track="linear-gradient(to right, #000, #777 50%, #fff)"
                onChange={(value, gesture) =>
                  commands.setCompare({ kind: 'flat', arrangement, greyY: luminanceOfLStar(value) }, gesture)
                }
              />
            )}
          </section>
          <section>
            <h3>Another recipe</h3>
            <p className="quiet small">On this figure, seen from the same place.</p>
            <div className="row">
              <FileTrigger acceptedFileTypes={['.json']} onSelect={files => void openFile(files)}>
                <Button className="button">Choose a recipe file</Button>
              </FileTrigger>
              <Button className="button" onPress={() => commands.setCompare({ kind: 'recipe', arrangement, recipe })}>
                Keep this one as it is now
              </Button>
            </div>
            {problem && <InlineProblem problem={problem} />}
          </section>
        </Dialog>
      </Popover>
    </DialogTrigger>
  )
}
