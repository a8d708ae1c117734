import { useEffect, useState } from 'react'
import { Button } from 'react-aria-components'
import type { CheckedSide } from '../app/app-state.ts'
import type { Remedy } from '../core/reading/remedies.ts'
import { SIDES } from '../core/reading/side-check.ts'
import type { FigurePanels } from '../core/surface/figure-panels.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { AreaRow, percentOf } from './areas-section.tsx'
import { Explained, round, Stepper } from './controls.tsx'

/** Front and back are never seen together: every area seen from a side must be lit there. With what would help. */
export function SidesCheck({ panels }: { readonly panels: FigurePanels }) {
  const commands = useCommands()
  const refined = useApp(s => s.derived.sides.main?.quality === 'refined')
  const litShare = useApp(s => s.session.litShare)
  const thresholds = useDocument(d => d.thresholds)
  const recipe = useDocument(d => d.recipe)
  const settled = useApp(s => s.derived.progress === null)
  const check = useApp(s => s.derived.sideCheck)
  const checking = useApp(s => s.derived.checkingSides)
  const { meantDark } = useDocument(d => d.panels)
  const [stopped, setStopped] = useState(false)
  const ready = settled && refined && !stopped
  // biome-ignore lint/correctness/useExhaustiveDependencies: each of these asks for another answer
  useEffect(() => {
    if (ready) void commands.checkSides()
  }, [ready, panels, litShare, thresholds, recipe, commands])
  useEffect(() => () => commands.cancelSideCheck(), [commands])

  const unlit = check?.figureId === panels.figureId ? check.unlit : null
  const asked = unlit?.filter(u => !meantDark.includes(panels.panels[u.panel].id)) ?? []
  return (
    <>
      <Stepper
        label="Lit at least"
        value={Math.round(litShare * 100)}
        min={10}
        max={100}
        step={10}
        unit="%"
        onChange={percent => commands.select({ litShare: percent / 100 })}
      />
      {checking !== null && (
        <div className="areas-finding">
          <p className="quiet small" role="status">
            Trying what would light them, {Math.round(checking * 100)} %
          </p>
          <Button
            className="button plain"
            onPress={() => {
              setStopped(true)
              commands.cancelSideCheck()
            }}
          >
            Stop
          </Button>
        </div>
      )}
      {stopped && (
        <Button className="button" onPress={() => setStopped(false)}>
          Check the sides
        </Button>
      )}
      {unlit !== null && asked.length === 0 && (
        <p className="quiet small">Whatever is seen from front, back, left or right is lit there.</p>
      )}
      {SIDES.map(({ side }) => {
        const here = asked.filter(u => u.side === side)
        if (here.length === 0) return null
        return (
          <section key={side} aria-label={`Unlit from the ${side}`}>
            <h4 className="areas-heading">
              <Explained
                why={`Areas that are seen level from the ${side}, and of which less than ${Math.round(litShare * 100)} % is lit there. The number is the unlit surface.`}
              >
                From the {side}
              </Explained>
            </h4>
            <ul className="areas-list">
              {here.map(of => (
                <AreaRow
                  key={of.panel}
                  panels={panels}
                  panel={panels.panels[of.panel]}
                  number={`${round(of.unlitMm2, of.unlitMm2 < 10 ? 1 : 0)} mm²`}
                  list={side}
                  onOpen={() => commands.goToView(side)}
                >
                  <Remedies of={of} />
                </AreaRow>
              ))}
            </ul>
          </section>
        )
      })}
    </>
  )
}

function Remedies({ of: { remedies } }: { readonly of: CheckedSide }) {
  const commands = useCommands()
  const checking = useApp(s => s.derived.checkingSides !== null)
  const parts = useApp(s => s.derived.figure?.parts) ?? []
  if (remedies === null)
    return (
      <p className="quiet small">
        {checking ? 'Looking for what would light it.' : 'What would light it was not tried.'}
      </p>
    )
  if (remedies.length === 0)
    return <p className="quiet small">No direction and no part left off lights a quarter of it.</p>
  return (
    <ul className="remedies">
      {remedies.map(remedy => (
        <li key={remedy.kind}>
          <span>{remedyWords(remedy, id => parts.find(p => p.id === id)?.name ?? id)}</span>
          <Button className="button" onPress={() => commands.applyRemedy(remedy)}>
            {remedy.kind === 'torch' ? 'Add torch' : 'Spray apart'}
          </Button>
        </li>
      ))}
    </ul>
  )
}

function remedyWords(remedy: Remedy, partName: (id: string) => string): string {
  const share = percentOf(remedy.reached)
  if (remedy.kind === 'part') return `${partName(remedy.partId)} off exposes ${share}`
  return `A torch from the ${placeWords(remedy.azimuthDegrees)}, ${heightWords(remedy.elevationDegrees)}, reaches ${share}`
}

/** @param azimuthDegrees −180…180 */
function placeWords(azimuthDegrees: number): string {
  const turned = Math.abs(azimuthDegrees)
  const side = azimuthDegrees > 0 ? 'left' : 'right'
  if (turned < 15) return 'front'
  if (turned > 165) return 'back'
  if (Math.abs(turned - 90) < 15) return side
  return `${turned < 90 ? 'front' : 'back'} ${side}`
}

const heightWords = (elevation: number): string =>
  elevation === 0 ? 'level' : `${Math.abs(elevation)}° ${elevation > 0 ? 'above' : 'below'}`
