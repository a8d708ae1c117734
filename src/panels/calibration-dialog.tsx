import { useState } from 'react'
import { Button } from 'react-aria-components'
import { CAUTIONS_SHORT } from '../core/recipe/cautions.ts'
import type { Calibration, MistCoat, Recipe } from '../core/recipe/recipe.ts'
import { buildFactorWords, flowOfLine, spreadOfDot, withCalibration } from '../core/spray/calibrate-airbrush.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { Frame } from './cautions-dialog.tsx'
import { Choose, round, Stepper } from './controls.tsx'
import { MixDrops } from './mix-drops.tsx'
import { paintHex } from './paint-swatch.ts'
import './calibration-dialog.css'

/** A dot and a line on primed card say how wide the beam is and how much flows. */
export function CalibrationDialog() {
  const commands = useCommands()
  const recipe = useDocument(d => d.recipe)
  const open = useApp(s => s.session.openCoat)
  const mists = recipe.coats.filter(c => c.kind === 'mist')
  const coat = mists.find(c => c.id === open) ?? mists[0]
  const close = () => commands.select({ dialog: null })
  if (!coat)
    return (
      <Frame title="Calibrate airbrush" isOpen onClose={close}>
        <p>Add a sprayed coat first: what is measured belongs to an airbrush.</p>
      </Frame>
    )
  return <Measuring recipe={recipe} coat={coat} onClose={close} />
}

/** The five-step card: CIE lightness. */
const GREYS = [30, 40, 50, 60, 70, 80].map(value => ({
  id: String(value),
  label: value % 20 === 10 ? `the ${value} step` : `between ${value - 10} and ${value + 10}`,
}))

const PER_ML = { min: 10, max: 100 }

function Measuring(props: { readonly recipe: Recipe; readonly coat: MistCoat; readonly onClose: () => void }) {
  const { recipe, coat, onClose } = props
  const commands = useCommands()
  const kept = recipe.calibration
  const distanceMm = coat.torches[0]?.distanceMm ?? 100
  const [dot, setDot] = useState<Calibration['dot']>(kept?.dot ?? { distanceMm, diameterMm: 32 })
  const [line, setLine] = useState<Calibration['line']>(
    kept?.line ?? { distanceMm, sweepMmPerS: coat.airbrush.sweepMmPerS, mix: coat.mix, passes: 4, lStar: 50 },
  )
  const [dropMl, setDropMl] = useState(recipe.dropMl)
  const paint = recipe.paints.find(p => p.id === coat.paint)
  const spread = spreadOfDot(dot)
  const flowMm3PerS = flowFound({ ...recipe, dropMl }, coat, line, spread)
  const usable = flowMm3PerS !== null && flowMm3PerS <= 1000 && spread >= 0.005 && spread <= 1
  const use = () => {
    if (flowMm3PerS === null) return
    const calibration = { dot, line, spread, flowMm3PerS }
    commands.setRecipe(withCalibration({ ...recipe, dropMl }, coat.id, calibration), 'Calibrate airbrush')
    onClose()
  }
  return (
    <Frame
      title="Calibrate airbrush"
      isOpen
      onClose={onClose}
      foot={
        <>
          {kept && (
            <Button
              className="button"
              onPress={() => commands.setRecipe({ ...recipe, calibration: null }, 'Forget the measured airbrush')}
            >
              Forget what was measured
            </Button>
          )}
          <Button className="button primary" isDisabled={!usable} onPress={use}>
            Use for {coat.name || 'this coat'}
          </Button>
        </>
      }
    >
      <p className="quiet">
        Prime a piece of card like the figure. Set the airbrush as for {coat.name || 'this coat'}, and leave it so.
      </p>
      <section className="calibration-step">
        <h3>1. A dot</h3>
        <p>Hold still, square to the card, and spray until it shows well. Measure across nearly all of it.</p>
        <Stepper
          label="From"
          value={dot.distanceMm}
          min={10}
          max={300}
          step={5}
          unit="mm"
          onChange={mm => setDot({ ...dot, distanceMm: mm })}
        />
        <Stepper
          label="Across"
          value={dot.diameterMm}
          min={1}
          max={200}
          step={0.5}
          digits={1}
          unit="mm"
          onChange={mm => setDot({ ...dot, diameterMm: mm })}
        />
      </section>
      <section className="calibration-step">
        <h3>2. A line</h3>
        <p>Pass after pass over one line, an even hand, drying between. Compare its middle with a five-step card.</p>
        <Stepper
          label="From"
          value={line.distanceMm}
          min={10}
          max={300}
          step={5}
          unit="mm"
          onChange={mm => setLine({ ...line, distanceMm: mm })}
        />
        <Stepper
          label="Speed of the hand"
          value={line.sweepMmPerS}
          min={10}
          max={999}
          step={10}
          unit="mm/s"
          onChange={mm => setLine({ ...line, sweepMmPerS: mm })}
        />
        <MixDrops
          mix={line.mix}
          hex={paintHex(paint)}
          onChange={patch => setLine({ ...line, mix: { ...line.mix, ...patch } })}
        />
        <Stepper
          label="After so many passes"
          value={line.passes}
          min={1}
          max={100}
          onChange={passes => setLine({ ...line, passes })}
        />
        <Choose
          label="it was as light as"
          choices={GREYS}
          value={String(line.lStar)}
          onChange={id => setLine({ ...line, lStar: Number(id) })}
        />
      </section>
      <section className="calibration-step">
        <h3>3. Drops, if you like</h3>
        <p>Paint and thinner make drops of different size. Count how many fill 1 mL.</p>
        {(['paint', 'thinner', 'medium'] as const).map(of => (
          <Stepper
            key={of}
            label={`Drops of ${of} in 1 mL`}
            value={Math.round(1 / dropMl[of])}
            {...PER_ML}
            onChange={drops => setDropMl({ ...dropMl, [of]: 1 / drops })}
          />
        ))}
      </section>
      <section className="calibration-step" aria-live="polite">
        <h3>What follows</h3>
        {flowMm3PerS === null ? (
          <p>This paint does not show that grey over the primer: choose another step of the card.</p>
        ) : (
          <p>
            Spread {round(spread, 3)}, flow {round(flowMm3PerS, 1)} mm³/s ({round(0.06 * flowMm3PerS, 2)} mL a minute).
          </p>
        )}
        <p className="quiet">{buildFactorWords(recipe)}</p>
      </section>
      <section className="calibration-step">
        <h3>Before you spray</h3>
        <ul className="calibration-cautions">
          {CAUTIONS_SHORT.map(caution => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </section>
    </Frame>
  )
}

function flowFound(recipe: Recipe, coat: MistCoat, line: Calibration['line'], spread: number): number | null {
  try {
    return flowOfLine(recipe, coat, line, spread)
  } catch {
    // A pigment from a newer version: its films are not known.
    return null
  }
}
