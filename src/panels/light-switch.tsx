import { Button, Dialog, DialogTrigger, Popover, Radio, RadioGroup } from 'react-aria-components'
import { type Lamp as Illuminant, LAMP_WORDS, LAMPS } from '../core/colour/illuminants.ts'
import type { Lamp } from '../document/document.ts'
import { useCommands, useDocument } from '../ui/use-app.ts'
import { Drag, Toggle } from './controls.tsx'
import { Icon } from './icons.tsx'

const ABOUT: Readonly<Record<Illuminant, string>> = {
  D65: 'D65. The numbers are always read under it.',
  D50: 'D50, the light prints are judged in.',
  A: 'Illuminant A, tungsten.',
  'LED-B1': 'LED-B1, warm white for the home.',
}

const SHINING: Lamp = { kind: 'lamp', azimuthDegrees: 30, elevationDegrees: 50 }

/** The light: of which colour, and whether it shapes the figure. Both are for the eye; the numbers use neither. */
export function LightSwitch() {
  const commands = useCommands()
  const illuminant = useDocument(d => d.illuminant)
  const lamp = useDocument(d => d.lamp)
  const light = lamp.kind === 'lamp' ? `${LAMP_WORDS[illuminant]}, lamp on` : LAMP_WORDS[illuminant]
  return (
    <DialogTrigger>
      <Button className="select-button" aria-label={`Light: ${light}`}>
        <Icon name="lamp" />
        {/* What is out of the ordinary is said even where room is short. */}
        <span className="light-word" data-always={light !== LAMP_WORDS.D65 || undefined}>
          {light}
        </span>
        <Icon name="down" />
      </Button>
      <Popover className="popover against" offset={4} placement="bottom end">
        <Dialog className="popover-body" aria-label="Light">
          <section>
            <h3 id="seen-under">Seen under</h3>
            <RadioGroup
              className="options"
              aria-labelledby="seen-under"
              value={illuminant}
              onChange={next => commands.setIlluminant(next as Illuminant)}
            >
              {(Object.keys(LAMPS) as Illuminant[]).map(id => (
                <Radio key={id} value={id} className="option">
                  <span>{LAMP_WORDS[id]}</span>
                  <span className="tick">
                    <Icon name="tick" />
                  </span>
                  <span className="about">{ABOUT[id]}</span>
                </Radio>
              ))}
            </RadioGroup>
          </section>
          <section>
            <Toggle
              isSelected={lamp.kind === 'lamp'}
              onChange={on => commands.setLamp(on ? SHINING : { kind: 'flat' })}
            >
              Let a lamp shape the figure
            </Toggle>
            {lamp.kind === 'lamp' && (
              <>
                <Drag
                  label="Around the figure"
                  value={lamp.azimuthDegrees}
                  min={-180}
                  max={180}
                  unit="°"
                  gesture="lamp"
                  onChange={(azimuthDegrees, gesture) => commands.setLamp({ ...lamp, azimuthDegrees }, gesture)}
                />
                <Drag
                  label="Height"
                  value={lamp.elevationDegrees}
                  min={-90}
                  max={90}
                  unit="°"
                  gesture="lamp"
                  onChange={(elevationDegrees, gesture) => commands.setLamp({ ...lamp, elevationDegrees }, gesture)}
                />
              </>
            )}
          </section>
        </Dialog>
      </Popover>
    </DialogTrigger>
  )
}
