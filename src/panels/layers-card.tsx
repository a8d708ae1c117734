import { LAMP_WORDS } from '../core/colour/illuminants.ts'
import type { FilmLayer } from '../core/reading/reading.ts'
import { useApp, useDocument } from '../ui/use-app.ts'
import { round } from './controls.tsx'

/** Height of the films above the primer, in units of the drawing. */
const FILMS = 112
const PRIMER = 30
/** Has no thickness to be drawn to scale. */
const VARNISH = 10
const ROW = 26
const WIDTH = 56
const LEAD = 26

/** Layers here: the stack under the pointer, cut through. */
export function LayersCard() {
  const hover = useApp(s => s.session.hover)
  const primer = useDocument(d => d.recipe.paints.find(p => p.id === d.recipe.primer.paint)?.name)
  const illuminant = useDocument(d => d.illuminant)
  const partName = useApp(s => s.derived.figure?.parts.find(p => p.id === s.session.hover?.partId)?.name)
  if (!hover || hover.layers.length === 0) return null
  const right = hover.x > window.innerWidth * 0.55
  const low = hover.y > window.innerHeight * 0.55
  return (
    <section
      className="layers"
      aria-label="Layers here"
      style={{
        left: hover.x + (right ? -24 : 24),
        top: hover.y,
        translate: `${right ? '-100%' : '0'} ${low ? '-100%' : '0'}`,
      }}
    >
      <h2>Layers here{partName && <span className="quiet">: {partName}</span>}</h2>
      {illuminant !== 'D65' && <p className="quiet small">as seen under {LAMP_WORDS[illuminant]}</p>}
      <Section layers={hover.layers} primer={primer} />
    </section>
  )
}

function Section(props: { readonly layers: readonly FilmLayer[]; readonly primer: string | undefined }) {
  const [ground, ...films] = props.layers
  const primer = ground.name === props.primer ? { ...ground, name: `${ground.name} primer` } : ground
  const total = films.reduce((sum, film) => sum + film.thicknessUm, 0)
  const rows = [...films].reverse()
  const filmsHeight = Math.max(FILMS, rows.length * ROW)
  const toScale = filmsHeight - VARNISH * films.filter(film => film.varnish).length
  const height = filmsHeight + PRIMER + 6

  let top = 0
  const drawn = rows.map((film, row) => {
    const tall = film.varnish ? VARNISH : total > 0 ? (film.thicknessUm / total) * toScale : 0
    const from = top
    top += tall
    return { film, from, tall, middle: from + tall / 2, label: labelY(row, rows.length, filmsHeight) }
  })

  return (
    <div className="section">
      <svg
        style={{ width: scaled(WIDTH + LEAD), height: scaled(height) }}
        viewBox={`0 0 ${WIDTH + LEAD} ${height}`}
        aria-hidden="true"
      >
        {drawn.map(({ film, from, tall }) => (
          <rect key={film.coatId} x="0" y={from} width={WIDTH} height={Math.max(0.75, tall)} fill={film.hex} />
        ))}
        <path d={brokenPrimer(filmsHeight, height)} fill={primer.hex} stroke="#a8a8a8" strokeWidth="0.75" />
        {drawn.map(({ film, middle, label }) => (
          <path key={film.coatId} d={`M${WIDTH + 2} ${middle}h5L${WIDTH + LEAD - 6} ${label}h5`} className="leader" />
        ))}
        <path d={`M${WIDTH + 2} ${filmsHeight + PRIMER / 2}H${WIDTH + LEAD - 1}`} className="leader" />
      </svg>
      <ol className="section-labels" style={{ height: scaled(height) }}>
        {drawn.map(({ film, label }) => (
          <li key={film.coatId} style={{ top: scaled(label) }}>
            <Label film={film} />
          </li>
        ))}
        <li style={{ top: scaled(filmsHeight + PRIMER / 2) }}>
          <Label film={primer} />
        </li>
      </ol>
    </div>
  )
}

function Label({ film }: { readonly film: FilmLayer }) {
  return (
    <>
      <span className="label-name">{film.name}</span>
      <span className="label-um">{film.varnish ?? `${round(film.thicknessUm, film.thicknessUm < 10 ? 1 : 0)} µm`}</span>
    </>
  )
}

/** The drawing grows with the type: four of its units are one step of the page's grid. */
const scaled = (units: number): string => `calc(var(--u) * ${units / 4})`

/** Labels are spread evenly: films may be thinner than a line of text. */
const labelY = (row: number, rows: number, height: number): number => ((row + 0.5) / rows) * height

/** The primer goes on further than there is room: its lower edge is a break line. */
function brokenPrimer(top: number, bottom: number): string {
  const teeth = 4
  const step = WIDTH / teeth
  let path = `M0 ${top}H${WIDTH}V${bottom - 4}`
  for (let tooth = 0; tooth < teeth; tooth++) path += `l${-step / 2} -5l${-step / 2} 5`
  return `${path}Z`
}
