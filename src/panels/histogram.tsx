import { HISTOGRAM_BINS } from '../core/reading/reading.ts'

const HEIGHT = 26

/** How much of the figure has which value: the pre-shade above, what is painted over it below. */
export function Histogram(props: { readonly before: readonly number[] | null; readonly after: readonly number[] }) {
  const { before, after } = props
  const highest = Math.max(...after, ...(before ?? []), 1e-6)
  return (
    <figure className="histogram">
      {before && <Bars name="Pre-shade" bins={before} highest={highest} className="before" />}
      <Bars name={before ? 'Painted over it' : 'Painted'} bins={after} highest={highest} className="after" />
      <div className="value-scale" aria-hidden="true" />
      <figcaption>
        <span>0</span>
        <span>value</span>
        <span>100</span>
      </figcaption>
    </figure>
  )
}

function Bars(props: {
  readonly name: string
  readonly bins: readonly number[]
  readonly highest: number
  readonly className: string
}) {
  const { name, bins, highest, className } = props
  const width = 100 / HISTOGRAM_BINS
  const peak = bins.indexOf(Math.max(...bins))
  return (
    <div className="bars">
      <span className="bars-name">{name}</span>
      <svg
        viewBox={`0 0 100 ${HEIGHT}`}
        preserveAspectRatio="none"
        className={className}
        role="img"
        aria-label={`${name}: most of it near value ${Math.round((peak + 0.5) * width)}`}
      >
        {bins.map((share, bin) => (
          <rect
            key={bin}
            x={bin * width + 0.15}
            width={width - 0.3}
            y={HEIGHT - (share / highest) * HEIGHT}
            height={(share / highest) * HEIGHT}
          />
        ))}
      </svg>
    </div>
  )
}
