import { useState } from 'react'
import { Button, Dialog, DialogTrigger, FileTrigger, Popover } from 'react-aria-components'
import { lStarOfLuminance, luminanceOfLStar } from '../core/colour/lab.ts'
import type { Problem } from '../core/problem.ts'
import type { Recipe } from '../core/recipe/recipe.ts'
import { type Arrangement, type Compare, type FlatBase, flatBaseOf, type Look } from '../document/document.ts'
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

const BASES = [
  { id: 'own', label: 'Its own' },
  { id: 'flat', label: 'One flat grey' },
] as const
const MIDDLE_GREY_Y = 0.2

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
  return (
    <DialogTrigger>
      <Button className="select-button" aria-label="Compare against">
        <span className="against-name">{againstWords(compare)}</span>
        <Icon name="down" />
      </Button>
      <Popover className="popover against" offset={4}>
        <Dialog className="popover-body" aria-label="Compare against">
          <BesideCoats compare={compare} />
          <BesideBase compare={compare} />
        </Dialog>
      </Popover>
    </DialogTrigger>
  )
}

function againstWords(compare: Beside): string {
  if (compare.kind === 'flat') return 'flat base'
  return `${compare.recipe.name || 'another recipe'}${compare.flat ? ', flat' : ''}`
}

/** Which coats stand beside: the same ones, or those of another recipe. */
function BesideCoats({ compare }: { readonly compare: Beside }) {
  const commands = useCommands()
  const recipe = useDocument(d => d.recipe)
  const [problem, setProblem] = useState<Problem | null>(null)
  const put = (other: Recipe) => {
    const { arrangement } = compare
    const kept = compare.kind === 'recipe' && compare.flat ? { flat: compare.flat } : {}
    commands.setCompare({ kind: 'recipe', arrangement, recipe: other, ...kept })
  }
  const openFile = async (files: FileList | null) => {
    const file = files?.[0]
    if (!file) return
    const opened = openRecipe(await file.text(), file.name)
    setProblem(opened.ok ? null : opened.problem)
    if (opened.ok) put(opened.value)
  }
  return (
    <section>
      <h3>Coats</h3>
      <p className="quiet small">
        {compare.kind === 'flat'
          ? 'The same as in this recipe.'
          : `Those of ${compare.recipe.name ? `‘${compare.recipe.name}’` : 'another recipe'}, on this figure.`}
      </p>
      <div className="row">
        <FileTrigger acceptedFileTypes={['.json']} onSelect={files => void openFile(files)}>
          <Button className="button">Choose a recipe file</Button>
        </FileTrigger>
        {compare.kind === 'flat' ? (
          <Button className="button" onPress={() => put(recipe)}>
            Keep this one as it is now
          </Button>
        ) : (
          <Button
            className="button"
            onPress={() => commands.setCompare({ kind: 'flat', arrangement: compare.arrangement, greyY: null })}
          >
            The same coats
          </Button>
        )}
      </div>
      {problem && <InlineProblem problem={problem} />}
    </section>
  )
}

/** What they lie over. The same coats over their own base would be the same picture twice. */
function BesideBase({ compare }: { readonly compare: Beside }) {
  const commands = useCommands()
  const flat = flatBaseOf(compare)
  const put = (base: FlatBase | null, gesture?: string) => {
    const { arrangement } = compare
    if (compare.kind === 'recipe')
      commands.setCompare({ kind: 'recipe', arrangement, recipe: compare.recipe, ...(base && { flat: base }) }, gesture)
    else if (base) commands.setCompare({ kind: 'flat', arrangement, ...base }, gesture)
  }
  return (
    <section>
      <h3>Base</h3>
      {compare.kind === 'recipe' ? (
        <Segments
          label="Base"
          choices={BASES}
          value={flat ? 'flat' : 'own'}
          onChange={base => put(base === 'flat' ? { greyY: null } : null)}
        />
      ) : (
        <p className="quiet small">One flat grey: shows what the pre-shade is worth under these coats.</p>
      )}
      {flat && (
        <Toggle
          isSelected={flat.greyY === null}
          onChange={automatic => put({ greyY: automatic ? null : MIDDLE_GREY_Y })}
        >
          as light as the pre-shade is on average
        </Toggle>
      )}
      {flat && flat.greyY !== null && (
        <Drag
          label="Grey of the base"
          value={Math.round(lStarOfLuminance(flat.greyY))}
          min={0}
          max={100}
          shown={`value ${Math.round(lStarOfLuminance(flat.greyY))}`}
          gesture="flat-grey"
          track="linear-gradient(to right, #000, #777 50%, #fff)"
          onChange={(value, gesture) => put({ greyY: luminanceOfLStar(value) }, gesture)}
        />
      )}
    </section>
  )
}
