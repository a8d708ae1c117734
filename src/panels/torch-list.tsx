import { Button, Menu, MenuItem, MenuTrigger, Popover, Text } from 'react-aria-components'
import type { MistCoat, Sweep, Torch, TorchPattern } from '../core/recipe/recipe.ts'
import type { TorchSetName } from '../core/recipe/torch-sets.ts'
import { HOURS_EXPLAINED, torchWords } from '../core/recipe/torch-words.ts'
import { AIRBRUSH_SETTINGS } from '../core/spray/airbrush-settings.ts'
import { useApp, useCommands } from '../ui/use-app.ts'
import { Choose, Drag, Explained, IconButton, round, Stepper } from './controls.tsx'
import { Icon } from './icons.tsx'

const SETS: readonly { readonly id: TorchSetName; readonly label: string; readonly about: string }[] = [
  {
    id: 'front-and-back',
    label: 'Front and back',
    about: 'Each side lit for itself, rolled so that flanks are not left dark.',
  },
  { id: 'three-quarter', label: 'Three-quarter pair', about: 'From half left and half right of the front.' },
  { id: 'overhead', label: 'Overhead', about: 'Straight from above: zenithal.' },
  { id: 'ring', label: 'Ring', about: 'All around, from half height.' },
]

export function TorchList({ coat }: { readonly coat: MistCoat }) {
  const commands = useCommands()
  return (
    <section className="group" aria-label="Torches">
      <div className="group-head">
        <h3>
          <Explained why={HOURS_EXPLAINED}>Torches</Explained>
        </h3>
        <IconButton
          icon="plus"
          label="Add a torch"
          onPress={() => commands.addTorch(coat.id)}
          className="compact push"
        />
        <MenuTrigger>
          <Button className="button plain">
            Sets <Icon name="down" />
          </Button>
          <Popover className="popover" offset={4}>
            <Menu className="options" onAction={key => commands.applyTorchSet(coat.id, key as TorchSetName)}>
              {SETS.map(set => (
                <MenuItem key={set.id} id={set.id} textValue={set.label} className="option">
                  <Text slot="label">{set.label}</Text>
                  <Text slot="description" className="about">
                    {set.about}
                  </Text>
                </MenuItem>
              ))}
            </Menu>
          </Popover>
        </MenuTrigger>
      </div>
      {coat.torches.length === 0 && <p className="quiet small">No torch yet: place a set, or one by one.</p>}
      <ul className="torches">
        {coat.torches.map((torch, index) => (
          <TorchRow key={torch.id} torch={torch} number={index + 1} siblings={coat.torches} />
        ))}
      </ul>
    </section>
  )
}

interface TorchRowProps {
  readonly torch: Torch
  readonly number: number
  readonly siblings: readonly Torch[]
}

function TorchRow({ torch, number, siblings }: TorchRowProps) {
  const commands = useCommands()
  const open = useApp(s => s.session.selectedTorch === torch.id)
  const partner = siblings.find(t => t.id === torch.linkedTo) ?? siblings.find(t => t.linkedTo === torch.id)
  const others = siblings.filter(t => t.id !== torch.id)
  return (
    <li className="torch" data-open={open || undefined} data-muted={torch.muted || undefined}>
      <div className="torch-head">
        <Button
          className="torch-toggle"
          aria-expanded={open}
          onPress={() => commands.select({ selectedTorch: open ? null : torch.id })}
        >
          <span className="torch-number" aria-hidden="true">
            {number}
          </span>
          <span className="torch-name">
            {torch.name}
            {partner && <Icon name="link" />}
            {partner && <span className="visually-hidden">, linked to {partner.name}</span>}
          </span>
        </Button>
        <IconButton
          icon={torch.muted ? 'eye-off' : 'eye'}
          label={torch.muted ? `Spray with ${torch.name}` : `Mute ${torch.name}`}
          className="compact"
          onPress={() => commands.setTorch(torch.id, { muted: !torch.muted })}
        />
        <MenuTrigger>
          <IconButton icon="more" label={`More for ${torch.name}`} className="compact" />
          <Popover className="popover" offset={4}>
            <Menu
              className="options"
              onAction={key => {
                if (key === 'duplicate') commands.duplicateTorch(torch.id)
                else if (key === 'delete') commands.deleteTorch(torch.id)
                else if (key === 'unlink') commands.linkTorch(torch.id, null)
                else commands.linkTorch(torch.id, String(key).slice('link:'.length))
              }}
            >
              <MenuItem id="duplicate" className="option">
                Duplicate
              </MenuItem>
              {partner ? (
                <MenuItem id="unlink" className="option">
                  Unlink from {partner.name}
                </MenuItem>
              ) : (
                others.map(other => (
                  <MenuItem key={other.id} id={`link:${other.id}`} className="option">
                    Link to {other.name}, mirrored
                  </MenuItem>
                ))
              )}
              <MenuItem id="delete" className="option">
                Delete
              </MenuItem>
            </Menu>
          </Popover>
        </MenuTrigger>
      </div>
      <p className="torch-words">{torch.muted ? 'muted: sprays nothing' : torchWords(torch)}</p>
      {open && <TorchNumbers torch={torch} />}
    </li>
  )
}

const PATTERNS: readonly { readonly id: TorchPattern; readonly label: string; readonly about: string }[] = [
  { id: 'gaussian', label: 'Soft', about: 'Fades out without an edge: most airbrushes.' },
  { id: 'parabola', label: 'Full, soft edge', about: 'Fuller in the middle, ends at an edge.' },
  { id: 'cone', label: 'Flat, hard edge', about: 'Even all over, then nothing.' },
]

const SWEEPS: readonly { readonly id: Sweep['kind']; readonly label: string; readonly about: string }[] = [
  { id: 'figure', label: 'The whole figure', about: 'In overlapping rows.' },
  { id: 'area', label: 'An area', about: 'The same over a disc around the aim point.' },
  { id: 'stroke', label: 'A straight stroke', about: 'One level line across the aim point.' },
  { id: 'arc', label: 'Around it', about: 'The nozzle travels around the figure.' },
  { id: 'still', label: 'Held still', about: 'Aimed at one place for a time.' },
]

function sweepOf(kind: Sweep['kind']): Sweep {
  switch (kind) {
    case 'figure':
      return { kind }
    case 'area':
      return { kind, radiusMm: 5 }
    case 'arc':
      return { kind, spanDegrees: 90 }
    case 'stroke':
      return { kind, lengthMm: 40 }
    case 'still':
      return { kind, secondsPerPass: 0.5 }
  }
}

const turned = (degrees: number): number => ((((degrees + 180) % 360) + 360) % 360) - 180

function TorchNumbers({ torch }: { readonly torch: Torch }) {
  const commands = useCommands()
  const gesture = `torch:${torch.id}`
  const set = (patch: Partial<Torch>, held?: string) => commands.setTorch(torch.id, patch, held)
  const { distanceMm, spread } = AIRBRUSH_SETTINGS
  return (
    <div className="torch-numbers">
      <Drag
        label="Around the figure"
        value={turned(torch.azimuthDegrees)}
        min={-180}
        max={180}
        unit="°"
        gesture={gesture}
        onChange={(azimuthDegrees, held) => set({ azimuthDegrees }, held)}
      />
      <Drag
        label="Above level"
        value={torch.elevationDegrees}
        min={-90}
        max={90}
        unit="°"
        gesture={gesture}
        onChange={(elevationDegrees, held) => set({ elevationDegrees }, held)}
      />
      <Drag
        label="Distance"
        value={torch.distanceMm}
        min={distanceMm.min}
        max={distanceMm.max}
        unit="mm"
        gesture={gesture}
        onChange={(mm, held) => set({ distanceMm: mm }, held)}
      />
      <span className="range">
        <Explained why={`Usual: ${distanceMm.min} to ${distanceMm.max} mm. From memory: ${distanceMm.basis}.`}>
          usual {distanceMm.min} to {distanceMm.max}
        </Explained>
      </span>
      <Drag
        label="Turned to and fro"
        value={torch.rollDegrees}
        min={0}
        max={90}
        shown={`±${round(torch.rollDegrees)}°`}
        gesture={gesture}
        onChange={(rollDegrees, held) => set({ rollDegrees }, held)}
      />
      <Stepper
        label="Spread"
        value={torch.spread}
        min={0.01}
        max={0.5}
        step={0.005}
        digits={3}
        onChange={value => set({ spread: value })}
        hint={
          <span className="range">
            <Explained why={`Usual: ${spread.min} to ${spread.max}. From memory: ${spread.basis}.`}>
              usual {spread.min} to {spread.max}
            </Explained>
          </span>
        }
      />
      <Choose label="Beam" choices={PATTERNS} value={torch.pattern} onChange={pattern => set({ pattern })} />
      <Stepper label="Passes" value={torch.passes} min={0} max={100} onChange={passes => set({ passes })} />
      <Choose
        label="Sweeps"
        choices={SWEEPS}
        value={torch.sweep.kind}
        onChange={kind => set({ sweep: sweepOf(kind) })}
      />
      {torch.sweep.kind === 'area' && (
        <Stepper
          label="Radius"
          value={torch.sweep.radiusMm}
          min={0.5}
          max={100}
          step={0.5}
          digits={1}
          unit="mm"
          onChange={radiusMm => set({ sweep: { kind: 'area', radiusMm } })}
        />
      )}
      {torch.sweep.kind === 'stroke' && (
        <Stepper
          label="Length"
          value={torch.sweep.lengthMm}
          min={1}
          max={500}
          step={5}
          unit="mm"
          onChange={lengthMm => set({ sweep: { kind: 'stroke', lengthMm } })}
        />
      )}
      {torch.sweep.kind === 'arc' && (
        <Stepper
          label="Span"
          value={torch.sweep.spanDegrees}
          min={0}
          max={360}
          step={5}
          unit="°"
          onChange={spanDegrees => set({ sweep: { kind: 'arc', spanDegrees } })}
        />
      )}
      {torch.sweep.kind === 'still' && (
        <Stepper
          label="Each time for"
          value={torch.sweep.secondsPerPass}
          min={0}
          max={60}
          step={0.1}
          digits={1}
          unit="s"
          onChange={secondsPerPass => set({ sweep: { kind: 'still', secondsPerPass } })}
        />
      )}
    </div>
  )
}
