import type { RecordPageView } from "@pinwalk/host/server/records/records-contract.js";
import { ToneIcon } from "../../drawing/icons.js";

type Certificate = RecordPageView["certificate"];

const tones = { good: "pass", bad: "fail", open: "unsure" } as const;

/** What the certificate says, section by section, as every other form of it does. */
export function CertificateBody({ certificate }: { certificate: Certificate }) {
  const { facts, reasons, tested, open, answers, notes, cautions, photos } = certificate;
  return (
    <>
      <div class="record-both">
        <section class="sheet" aria-labelledby="record-facts">
          <Title id="record-facts" text={certificate.title} />
          {certificate.shop && (
            <p class="record-shop">
              <bdi>{certificate.shop}</bdi>
            </p>
          )}
          <dl class="record-facts">
            {facts.map(({ label, value }) => (
              <div key={label}>
                <dt>{label}</dt>
                <dd>
                  <bdi>{value}</bdi>
                </dd>
              </div>
            ))}
          </dl>
        </section>
        <Results certificate={certificate} />
      </div>
      <Lines id="record-why" title="Why" lines={reasons} />
      <div class="record-both">
        <Lines id="record-tested" title="What was tested" lines={tested} />
        <Lines
          id="record-open"
          title="What is left open"
          lines={open.length > 0 ? open : ["Nothing of what this test can judge."]}
        />
      </div>
      <Lines
        id="record-answers"
        title="Asked and answered"
        lines={answers.map(({ question, answer }) => `${question} – ${answer}`)}
      />
      {notes && (
        <section class="sheet" aria-labelledby="record-notes">
          <Title id="record-notes" text="Notes" />
          <p class="record-notes">
            <bdi>{notes}</bdi>
          </p>
        </section>
      )}
      {photos.length > 0 && <Photos photos={photos} />}
      <Lines id="record-cautions" title="Please note" lines={cautions} />
    </>
  );
}

function Title({ id, text }: { id: string; text: string }) {
  return (
    <div class="sheet-head">
      <h2 id={id}>{text}</h2>
    </div>
  );
}

function Results({ certificate: { rows, voltsTitle } }: { certificate: Certificate }) {
  return (
    <section class="sheet" aria-labelledby="record-results">
      <Title id="record-results" text="Results" />
      <table class="record-results">
        <thead>
          <tr>
            <th scope="col">Circuit</th>
            <th scope="col">Expected, A</th>
            <th scope="col">Measured, A</th>
            <th scope="col">{voltsTitle}</th>
            <th scope="col">Result</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.pin}>
              <th scope="row">
                <b>{row.pin}</b> {row.circuit}
              </th>
              <td data-title="Expected, A">{row.expected}</td>
              <td data-title="Measured, A">{row.measured}</td>
              <td data-title={voltsTitle}>{row.volts}</td>
              <td class={`tone-${tones[row.state]}`}>
                <span class="said">
                  <ToneIcon tone={tones[row.state]} />
                  {row.result}
                </span>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Lines({ id, title, lines }: { id: string; title: string; lines: readonly string[] }) {
  if (lines.length === 0) return null;
  return (
    <section class="sheet" aria-labelledby={id}>
      <Title id={id} text={title} />
      <ul class="record-lines">
        {lines.map((line) => (
          <li key={line}>
            <bdi>{line}</bdi>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Photos({ photos }: { photos: Certificate["photos"] }) {
  return (
    <section class="sheet" aria-labelledby="record-photos">
      <Title id="record-photos" text="Photos" />
      <div class="record-photos">
        {photos.map(({ sha256, caption, width, height }) => (
          <figure key={sha256}>
            <img
              src={`/records/photos/${sha256}`}
              width={width}
              height={height}
              loading="lazy"
              alt={caption ?? "Photo of the job"}
            />
            {caption && (
              <figcaption>
                <bdi>{caption}</bdi>
              </figcaption>
            )}
          </figure>
        ))}
      </div>
    </section>
  );
}
