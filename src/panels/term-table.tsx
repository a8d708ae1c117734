import { Explained } from './controls.tsx'

export interface TermRow {
  readonly name: string
  readonly why: string
  /** In words: '27 %'. */
  readonly value: string
  /** 0…1: length of the bar; null: there is nothing to measure. */
  readonly score: number | null
}

/** What a sum is made of: every term with its own number, and how much it scores. */
export function TermTable(props: { readonly rows: readonly TermRow[]; readonly total: TermRow }) {
  const row = ({ name, why, value, score }: TermRow) => (
    <tr key={name}>
      <th scope="row">
        <Explained why={why}>{name}</Explained>
      </th>
      <td>
        {score !== null && (
          <span className="term-bar" aria-hidden="true">
            <span style={{ width: `${100 * score}%` }} />
          </span>
        )}
      </td>
      <td>{value}</td>
    </tr>
  )
  return (
    <table className="terms">
      <tbody>{props.rows.map(row)}</tbody>
      <tfoot>{row(props.total)}</tfoot>
    </table>
  )
}
