import { Button, Menu, MenuItem, MenuTrigger, Popover } from 'react-aria-components'
import { preshadeEndIndex } from '../core/chain/preshade-end.ts'
import { barOfPsi, FINISH_WORDS, mixWords, psiOfBar } from '../core/recipe/coat-words.ts'
import type { Airbrush, Coat, EvenCoat, MistCoat, Paint, VarnishCoat } from '../core/recipe/recipe.ts'
import { mixMl, usedWords } from '../core/recipe/recipe-sheet.ts'
import { AIRBRUSH_SETTINGS, flowCapMm3PerS, type Setting } from '../core/spray/airbrush-settings.ts'
import { buildFactorWords } from '../core/spray/calibrate-airbrush.ts'
import { useCommands, useDocument } from '../ui/use-app.ts'
import { CoatWarnings } from './coat-warnings.tsx'
import { Drag, Explained, Fold, round, Segments, Stepper, Toggle } from './controls.tsx'
import { CautionsButton } from './header-bar.tsx'
import { Icon } from './icons.tsx'
import { MixDrops } from './mix-drops.tsx'
import { NameField } from './name-field.tsx'
import { PaintPicker } from './paint-picker.tsx'
import { paintHex } from './paint-swatch.ts'
import { PartStates } from './part-states.tsx'
import { PassValues } from './pass-values.tsx'
import { ThicknessStripView } from './thickness-strip.tsx'
import { TorchList } from './torch-list.tsx'

/** Everything about one coat, in the order it is decided. */
export function CoatDetails({ coat, paints }: { readonly coat: Coat; readonly paints: readonly Paint[] }) {
  const commands = useCommands()
  const dropMl = useDocument(d => d.recipe.dropMl)
  if (coat.kind === 'varnish')
    return (
      <>
        <FinishChoice coat={coat} />
        <PartStates coat={coat} />
        <CoatFoot coat={coat} />
      </>
    )
  return (
    <>
      <CoatWarnings coat={coat} />
      <section className="group" aria-label="Paint and thinning">
        <PaintPicker label="Paint" value={coat.paint} onto={coat.id} />
        <ThicknessStripView coat={coat} />
        <div className="group-head">
          <h3>Thinning</h3>
          <span className="words">{mixWords(coat.mix)}</span>
        </div>
        <MixDrops
          mix={coat.mix}
          hex={paintHex(paints.find(p => p.id === coat.paint))}
          onChange={patch => commands.setMix(coat.id, patch)}
        />
        <p className="quiet small">{usedWords(mixMl(coat.mix, dropMl))}</p>
      </section>
      {coat.kind === 'mist' ? <Passes coat={coat} /> : <Thickness coat={coat} />}
      {coat.kind === 'mist' && <TorchList coat={coat} />}
      {coat.kind === 'mist' && <AirbrushFold coat={coat} />}
      <PartStates coat={coat} />
      <CoatFoot coat={coat} />
    </>
  )
}

const FINISHES = (['gloss', 'satin', 'matt'] as const).map(id => ({ id, label: FINISH_WORDS[id].name }))

function FinishChoice({ coat }: { readonly coat: VarnishCoat }) {
  const commands = useCommands()
  return (
    <section className="group" aria-label="Finish">
      <Segments
        label="Finish"
        choices={FINISHES}
        value={coat.finish}
        onChange={finish => commands.setFinish(coat.id, finish)}
      />
      <p className="quiet small">
        {FINISH_WORDS[coat.finish].about} Paint sprayed over it is matt again. The picture shows it, the lamp most of
        all; the numbers are read as if matt.
      </p>
    </section>
  )
}

function Passes({ coat }: { readonly coat: MistCoat }) {
  const commands = useCommands()
  const passes = coat.torches.map(t => t.passes)
  const highest = Math.max(0, ...passes)
  const even = passes.every(p => p === highest)
  return (
    <section className="group" aria-label="Passes">
      <Stepper
        label={even ? 'Passes from each torch' : 'Passes, at most'}
        value={highest}
        min={0}
        max={100}
        onChange={value => commands.setPasses(coat.id, value)}
      />
      <Drag
        label="Passes"
        bare
        value={highest}
        min={0}
        max={20}
        gesture={`passes:${coat.id}`}
        onChange={(value, gesture) => commands.setPasses(coat.id, value, gesture)}
      />
      <PassValues coat={coat} />
    </section>
  )
}

function Thickness({ coat }: { readonly coat: EvenCoat }) {
  const commands = useCommands()
  return (
    <section className="group" aria-label="Thickness">
      <Stepper
        label="How thick it dries"
        value={coat.thicknessUm}
        min={0}
        max={500}
        step={0.5}
        digits={1}
        unit="µm"
        onChange={value => commands.setThickness(coat.id, value)}
      />
      <Drag
        label="Thickness"
        bare
        value={coat.thicknessUm}
        min={0}
        max={40}
        step={0.5}
        digits={1}
        unit="µm"
        gesture={`thickness:${coat.id}`}
        onChange={(value, gesture) => commands.setThickness(coat.id, value, gesture)}
      />
    </section>
  )
}

const AIRBRUSH_ROWS: readonly {
  readonly key: keyof Airbrush & keyof typeof AIRBRUSH_SETTINGS
  readonly label: string
  readonly unit: string
  readonly step: number
  readonly digits: number
  readonly max: number
  /** How many of the shown unit one of the stored unit is. */
  readonly scale: number
}[] = [
  { key: 'sweepMmPerS', label: 'Speed of the hand', unit: 'mm/s', step: 10, digits: 0, max: 1000, scale: 1 },
  { key: 'transfer', label: 'Paint that sticks', unit: '%', step: 1, digits: 0, max: 100, scale: 100 },
  { key: 'diffuseShare', label: 'Stray mist', unit: '%', step: 0.5, digits: 1, max: 50, scale: 100 },
]

function AirbrushFold({ coat }: { readonly coat: MistCoat }) {
  const commands = useCommands()
  const { airbrush } = coat
  const bar = AIRBRUSH_SETTINGS.pressureBar
  const cap = flowCapMm3PerS(airbrush.needleMm)
  const words = useDocument(d => buildFactorWords(d.recipe))
  return (
    <Fold title="Airbrush" aside={`${round(airbrush.needleMm, 2)} mm · ${round(psiOfBar(airbrush.pressureBar))} psi`}>
      <p className="quiet small">{words}</p>
      <Button className="button" onPress={() => commands.select({ openCoat: coat.id, dialog: 'calibration' })}>
        Calibrate airbrush
      </Button>
      <Stepper
        label={`Pressure, ${round(airbrush.pressureBar, 2)} bar`}
        hint={<Range setting={bar} scale={psiOfBar(1)} unit="psi" digits={0} />}
        value={Math.round(psiOfBar(airbrush.pressureBar))}
        min={0}
        max={100}
        unit="psi"
        onChange={psi => commands.setAirbrush(coat.id, { pressureBar: barOfPsi(psi) })}
      />
      <Stepper
        label="Needle"
        hint={<Range setting={AIRBRUSH_SETTINGS.needleMm} scale={1} unit="mm" digits={2} />}
        value={airbrush.needleMm}
        min={0.1}
        max={1.5}
        step={0.05}
        digits={2}
        unit="mm"
        onChange={needleMm =>
          commands.setAirbrush(coat.id, {
            needleMm,
            flowMm3PerS: Math.min(airbrush.flowMm3PerS, flowCapMm3PerS(needleMm)),
          })
        }
      />
      <Stepper
        label="Flow"
        hint={
          <>
            <Range setting={AIRBRUSH_SETTINGS.flowMm3PerS} scale={1} unit="mm³/s" digits={0} />
            <span className="range">{triggerWords(airbrush)}</span>
          </>
        }
        value={Number(airbrush.flowMm3PerS.toFixed(3))}
        min={0}
        max={Math.max(cap, airbrush.flowMm3PerS)}
        step={0.5}
        digits={1}
        unit="mm³/s"
        onChange={flowMm3PerS => commands.setAirbrush(coat.id, { flowMm3PerS })}
      />
      {AIRBRUSH_ROWS.map(({ key, label, unit, step, digits, max, scale }) => (
        <Stepper
          key={key}
          label={label}
          hint={<Range setting={AIRBRUSH_SETTINGS[key]} scale={scale} unit={unit} digits={digits} />}
          value={Number((airbrush[key] * scale).toFixed(3))}
          min={0}
          max={max}
          step={step}
          digits={digits}
          unit={unit}
          onChange={value => commands.setAirbrush(coat.id, { [key]: value / scale })}
        />
      ))}
    </Fold>
  )
}

/** The trigger sets the flow, the needle caps it. */
function triggerWords({ flowMm3PerS, needleMm }: Airbrush): string {
  const travel = flowMm3PerS / flowCapMm3PerS(needleMm)
  return travel > 1 ? 'more than this needle lets by' : `trigger ${Math.round(100 * travel)} % back`
}

/** What is usual; where that comes from is one hover away. */
function Range(props: {
  readonly setting: Setting
  readonly scale: number
  readonly unit: string
  readonly digits: number
}) {
  const { setting, scale, unit, digits } = props
  const range = `${round(setting.min * scale, digits)} to ${round(setting.max * scale, digits)}`
  return (
    <span className="range">
      <Explained
        why={`Usual: ${range} ${unit}. ${setting.provenance === 'memory' ? 'From memory: ' : 'Source: '}${setting.basis}.`}
      >
        usual {range}
      </Explained>
    </span>
  )
}

function CoatFoot({ coat }: { readonly coat: Coat }) {
  const commands = useCommands()
  const endsHere = useDocument(d => {
    const end = preshadeEndIndex(d.recipe)
    return end !== null && d.recipe.coats[end].id === coat.id
  })
  return (
    <div className="group">
      <NameField label="Name" value={coat.name} onChange={name => commands.renameCoat(coat.id, name)} />
      {coat.kind !== 'varnish' && (
        <Toggle isSelected={endsHere} onChange={on => commands.setPreshadeEnd(on ? coat.id : null)}>
          The pre-shade ends here
        </Toggle>
      )}
      <div className="slab-foot">
        <CautionsButton compact />
        <MenuTrigger>
          <Button className="button plain">
            More <Icon name="down" />
          </Button>
          <Popover className="popover" offset={4}>
            <Menu
              className="options"
              onAction={key => (key === 'duplicate' ? commands.duplicateCoat(coat.id) : commands.deleteCoat(coat.id))}
            >
              <MenuItem id="duplicate" className="option">
                Duplicate this coat
              </MenuItem>
              <MenuItem id="delete" className="option">
                Delete this coat
              </MenuItem>
            </Menu>
          </Popover>
        </MenuTrigger>
      </div>
    </div>
  )
}
