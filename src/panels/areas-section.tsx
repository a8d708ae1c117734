import { type ReactNode, useEffect } from 'react'
import { Button } from 'react-aria-components'
import { type AreaReading, faintestNeighbour, LIT_SHARE, unlitAreas, unlitShare } from '../core/reading/read-areas.ts'
import type { SideOfFigure } from '../core/reading/side-check.ts'
import type { FigurePanels, Panel } from '../core/surface/figure-panels.ts'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { areaName } from './area-name.ts'
import { Explained, Fold, round, Toggle } from './controls.tsx'
import { NameField } from './name-field.tsx'
import { ReadingSection } from './reading-section.tsx'
import { SidesCheck } from './sides-check.tsx'
import './areas-section.css'

/** Rows shown at first; the rest is folded away. */
const ROWS = 6

/** The figure's areas as seen from here: which the spray has missed, and what is known of each. */
export function AreasSection() {
  const panels = useApp(s => s.derived.panels)
  const readings = useApp(s => s.derived.areas)
  const { meantDark } = useDocument(d => d.panels)
  const unlit = panels && readings ? unlitAreas(readings, panels, meantDark) : null
  return (
    <ReadingSection
      id="areas"
      title="Areas"
      aside={unlit === null ? undefined : unlit.length === 0 ? 'all lit' : `${unlit.length} unlit`}
    >
      {panels && readings && unlit ? (
        <Areas panels={panels} readings={readings} unlit={unlit} meantDark={meantDark} />
      ) : (
        <Finding />
      )}
    </ReadingSection>
  )
}

function Finding() {
  const commands = useCommands()
  const finding = useApp(s => s.derived.findingAreas)
  const waiting = useApp(s => s.derived.progress !== null || s.derived.figure === null)
  const found = useApp(s => s.derived.panels !== null)
  if (finding === null && !waiting && !found)
    return (
      <>
        <p className="quiet small">Areas are the pieces of the surface between its creases.</p>
        <Button className="button" onPress={commands.findAreas}>
          Find the areas
        </Button>
      </>
    )
  return (
    <div className="areas-finding">
      <p className="quiet small" role="status">
        {finding === null ? 'Once the figure stands painted.' : `Finding the areas, ${Math.round(finding * 100)} %`}
      </p>
      {finding !== null && (
        <Button className="button plain" onPress={commands.cancelFindingAreas}>
          Stop
        </Button>
      )}
    </div>
  )
}

function Areas(props: {
  readonly panels: FigurePanels
  readonly readings: readonly AreaReading[]
  readonly unlit: readonly AreaReading[]
  readonly meantDark: readonly string[]
}) {
  const { panels, readings, unlit, meantDark } = props
  const commands = useCommands()
  // Folded away, nothing stays marked on the stage.
  useEffect(() => () => commands.select({ pointedArea: null, openArea: null }), [commands])
  const marked = panels.panels.filter(p => meantDark.includes(p.id))
  const others = readings
    .filter(r => !unlit.includes(r) && !meantDark.includes(panels.panels[r.panel].id))
    .sort((x, y) => y.seenShare - x.seenShare)
  const row = (reading: AreaReading, number: string) => (
    <AreaRow key={reading.panel} panels={panels} panel={panels.panels[reading.panel]} number={number} list="view" />
  )
  const unlitRow = (reading: AreaReading) => row(reading, percentOf(unlitShare(reading)))
  return (
    <>
      <section aria-label="Seen but unlit">
        <h4 className="areas-heading">
          <Explained
            why={`Areas of which less than ${LIT_SHARE * 100} % of what is seen from here is lit. The number is the unlit piece’s share of all that is seen of the figure.`}
          >
            Seen from here, but unlit
          </Explained>
        </h4>
        {unlit.length === 0 ? (
          <p className="quiet small">None: whatever is seen from here is lit, or meant to stay dark.</p>
        ) : (
          <ul className="areas-list">{unlit.slice(0, ROWS).map(unlitRow)}</ul>
        )}
        {unlit.length > ROWS && (
          <Fold title={`${unlit.length - ROWS} smaller`}>
            <ul className="areas-list">{unlit.slice(ROWS).map(unlitRow)}</ul>
          </Fold>
        )}
      </section>
      {marked.length > 0 && (
        <Fold title="Meant to stay dark" aside={marked.length}>
          <ul className="areas-list">
            {marked.map(panel => (
              <AreaRow key={panel.id} panels={panels} panel={panel} number="" list="view" />
            ))}
          </ul>
        </Fold>
      )}
      <Fold title="Lit from every side">
        <SidesCheck panels={panels} />
      </Fold>
      {others.length > 0 && (
        <Fold title="Other areas seen" aside={others.length}>
          <ul className="areas-list">{others.map(r => row(r, percentOf(r.seenShare)))}</ul>
        </Fold>
      )}
    </>
  )
}

/** Points at its area on the stage while it is pointed at or has the focus; opens what is known of it. */
export function AreaRow(props: {
  readonly panels: FigurePanels
  readonly panel: Panel
  readonly number: string
  readonly list: 'view' | SideOfFigure
  readonly onOpen?: () => void
  /** Above what is known of the area itself. */
  readonly children?: ReactNode
}) {
  const { panels, panel, number, list, onOpen, children } = props
  const { id } = panel
  const commands = useCommands()
  const names = useDocument(d => d.panels.names)
  const isOpen = useApp(s => s.session.openArea?.id === id && s.session.openArea.list === list)
  const point = (on: boolean) => commands.select({ pointedArea: on ? id : null })
  return (
    <li className="area" data-open={isOpen || undefined}>
      <Button
        className="area-row"
        aria-expanded={isOpen}
        onHoverChange={point}
        onFocusChange={point}
        onPress={() => {
          commands.select({ openArea: isOpen ? null : { id, list } })
          if (!isOpen) onOpen?.()
        }}
      >
        <span className="area-name">{areaName(panel, names)}</span>
        <span className="area-number">{number}</span>
      </Button>
      {isOpen && (
        <div className="area-details">
          {children}
          <AreaDetails panels={panels} panel={panel} />
        </div>
      )}
    </li>
  )
}

function AreaDetails({ panels, panel }: { readonly panels: FigurePanels; readonly panel: Panel }) {
  const commands = useCommands()
  const names = useDocument(d => d.panels.names)
  const meantDark = useDocument(d => d.panels.meantDark.includes(panel.id))
  const readings = useApp(s => s.derived.areas) ?? []
  const index = panels.panels.indexOf(panel)
  const reading = readings.find(r => r.panel === index)
  const faintest = faintestNeighbour(index, readings, panels)
  return (
    <>
      <NameField
        label="Name"
        value={areaName(panel, names)}
        onChange={name => commands.renameArea(panel.id, name === areaName(panel, {}) ? '' : name)}
      />
      <Toggle isSelected={meantDark} onChange={on => commands.setMeantDark(panel.id, on)}>
        Meant to stay dark
      </Toggle>
      <dl className="area-facts">
        <Fact name="Size" why="The whole area’s surface, seen or not.">
          {round(panel.areaMm2, panel.areaMm2 < 10 ? 1 : 0)} mm²
        </Fact>
        {reading && (
          <>
            <Fact
              name="Lit of what is seen"
              why="Share of what is seen of it from here where the pre-shade’s torches leave more than ‘dark’."
            >
              {percentOf(reading.litShare)}
            </Fact>
            <Fact name="Spray" why="Mean exposure: 1 is a bare surface that faces one torch, for one pass.">
              {round(reading.meanExposure, 2)}
            </Fact>
            <Fact name="Value" why="Mean value as painted, from 0 for black to 100 for white.">
              {Math.round(reading.meanValue)}
            </Fact>
          </>
        )}
      </dl>
      {faintest && (
        <p className="quiet small">
          Beside it, {areaName(panels.panels[faintest.panel], names)} is nearest in value:{' '}
          {Math.round(faintest.contrast)} apart.
        </p>
      )}
    </>
  )
}

function Fact(props: { readonly name: string; readonly why: string; readonly children: ReactNode }) {
  return (
    <div className="reading-row">
      <dt>
        <Explained why={props.why}>{props.name}</Explained>
      </dt>
      <dd className="reading-number">{props.children}</dd>
    </div>
  )
}

export const percentOf = (share: number): string =>
  share > 0 && share < 0.01 ? '< 1 %' : `${Math.round(share * 100)} %`
