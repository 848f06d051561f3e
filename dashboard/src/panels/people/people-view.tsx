import { people, you } from "../../live/people.js";
import { LetIn } from "./let-in.js";
import { PersonRow } from "./person-row.js";
import { ThisPhone } from "./this-phone.js";
import "./people-view.css";

/** Who is here and who controls; at the computer, where a phone is let in. */
export function PeopleView() {
  const view = people.value;
  if (!view || !you.value) return null;
  return (
    <div class="people">
      <section class="sheet" aria-labelledby="who-is-here">
        <div class="sheet-head">
          <h2 id="who-is-here">Who is here</h2>
          <p class="sheet-note">One person controls at a time; everybody can press stop.</p>
        </div>
        <ul class="person-list">
          {view.list.map((person) => (
            <PersonRow key={person.id} person={person} />
          ))}
        </ul>
      </section>
      {you.value.atComputer ? <LetIn view={view} /> : <ThisPhone />}
    </div>
  );
}
