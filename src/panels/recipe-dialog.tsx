import { Button, TextArea, TextField } from 'react-aria-components'
import { useApp, useCommands, useDocument } from '../ui/use-app.ts'
import { Frame } from './cautions-dialog.tsx'
import { figureTitle } from './figure-title.ts'
import { NameField } from './name-field.tsx'
import { paintHex } from './paint-swatch.ts'
import { RecipePictures } from './recipe-pictures.tsx'
import { recipeSheet, type SheetStep, sheetText } from './recipe-sheet.ts'
import './recipe-dialog.css'

/** The recipe on one page: to be read here, printed, or copied. */
export function RecipeDialog() {
  const commands = useCommands()
  const isOpen = useApp(s => s.session.dialog === 'recipe')
  const recipe = useDocument(d => d.recipe)
  const parts = useApp(s => s.derived.figure?.parts) ?? []
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(sheetText(recipeSheet(recipe, parts)))
      commands.announce('Copied the recipe as text')
    } catch {
      commands.announce('This browser does not allow copying: select the page and copy it by hand')
    }
  }
  return (
    <Frame
      title="Recipe"
      wide
      isOpen={isOpen}
      onClose={() => commands.select({ dialog: null })}
      foot={
        <>
          <Button className="button" onPress={() => void copy()}>
            Copy as text
          </Button>
          <Button className="button primary" onPress={() => window.print()}>
            Print
          </Button>
        </>
      }
    >
      <RecipePage />
    </Frame>
  )
}

function RecipePage() {
  const commands = useCommands()
  const recipe = useDocument(d => d.recipe)
  const reference = useDocument(d => d.figure)
  const parts = useApp(s => s.derived.figure?.parts) ?? []
  const sheet = recipeSheet(recipe, parts)
  return (
    <article className="sheet">
      <header className="sheet-head">
        <NameField
          label="Name of the recipe"
          showLabel={false}
          className="sheet-name"
          value={recipe.name}
          onChange={name => commands.setRecipe({ ...recipe, name }, 'Rename recipe')}
        />
        <p>
          {figureTitle(reference)}, {Math.round(reference.placement.heightMm * 10) / 10} mm
        </p>
      </header>
      <RecipePictures />
      <ul className="sheet-paints">
        {sheet.paints.map(({ paint, about }) => (
          <li key={paint.id}>
            <span className="swatch" style={{ background: paintHex(paint) }} />
            <span>
              <strong>{paint.name}</strong>
              <small>{about}</small>
            </span>
          </li>
        ))}
      </ul>
      <ol className="sheet-steps">
        {sheet.steps.map((step, index) => (
          <Step key={index} step={step} />
        ))}
      </ol>
      <section className="sheet-columns">
        <div>
          <h4>A whole squad</h4>
          <ul>
            {sheet.batch.map(line => (
              <li key={line}>{line}</li>
            ))}
          </ul>
          <TextField
            className="sheet-notes"
            aria-label="Notes"
            value={recipe.notes}
            onChange={notes => commands.setNotes(notes)}
          >
            <h4>Notes</h4>
            <TextArea rows={3} placeholder="Anything to remember" />
          </TextField>
        </div>
        <div>
          <h4>Cautions</h4>
          <ul>
            {sheet.cautions.map(line => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </div>
      </section>
    </article>
  )
}

function Step({ step }: { readonly step: SheetStep }) {
  return (
    <li className="sheet-step">
      <span className="film" style={{ background: paintHex(step.paint) }} />
      <h4>
        {step.title}
        {step.paint && !step.title.startsWith(step.paint.name) && <span> {step.paint.name}</span>}
      </h4>
      <dl>
        {step.facts.map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      {step.torches.length > 0 && (
        <ul>
          {step.torches.map(torch => (
            <li key={torch}>{torch}</li>
          ))}
        </ul>
      )}
    </li>
  )
}
