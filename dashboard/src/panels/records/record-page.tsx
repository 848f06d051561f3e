import type { RecordPageView } from "@pinwalk/host/server/records/records-contract.js";
import { useState } from "preact/hooks";
import { ToneIcon } from "../../drawing/icons.js";
import { busy } from "../../live/bench-jobs.js";
import { startDraft } from "../../live/keep-draft.js";
import { recordPage, retest } from "../../live/records-requests.js";
import "../verdict-banner.css";
import { CertificateBody } from "./certificate-body.js";
import { Failure } from "./failure.js";
import { useAnswer } from "./use-answer.js";

/** One record: verdict, whether its seal holds, its documents, and everything that the certificate says. */
export function RecordPage({ hash }: { hash: string }) {
  const answer = useAnswer(recordPage, hash);
  return (
    <div class="records">
      <a class="button records-back" href="#records">
        All records
      </a>
      {answer === null && <p role="status">Looking …</p>}
      {answer?.ok === false && <Failure message={answer.message} />}
      {answer?.ok && <Page page={answer.value} />}
    </div>
  );
}

function Page({ page }: { page: RecordPageView }) {
  const { certificate, summary } = page;
  const { overall, word, sentence } = certificate.verdict;
  return (
    <>
      <section class={`verdict tone-${overall}`} aria-label="Verdict">
        <ToneIcon tone={overall} size={72} />
        <div>
          <h2>{word}</h2>
          <p class="verdict-sentence">{sentence}</p>
          <p class="verdict-what">
            <bdi>{summary.serial}</bdi>, record #{summary.number}
            {!summary.own && ` of another shop (${certificate.proof.signerName})`}
          </p>
        </div>
      </section>
      {[certificate.superseded, certificate.corrects].map(
        (text) =>
          text !== null && (
            <p key={text} class="sheet record-banner">
              <ToneIcon tone="warning" /> <span>{text}</span>
            </p>
          ),
      )}
      <Seal page={page} />
      <Actions page={page} />
      <CertificateBody certificate={certificate} />
    </>
  );
}

function Seal({ page: { seal, certificate } }: { page: RecordPageView }) {
  const tone = seal.holds ? "pass" : "fail";
  return (
    <section class={`sheet seal tone-${tone}`} aria-label="Signature">
      <ToneIcon tone={tone} size={28} />
      <div>
        <strong>{seal.holds ? "The signature holds" : "The signature does not hold"}</strong>
        <p>
          {seal.holds
            ? `Unchanged since it was signed with the key ${certificate.proof.signerName}.`
            : `Do not rely on this record: ${seal.problem}.`}
        </p>
        <p class="path">SHA-256 {certificate.proof.hash}</p>
      </div>
    </section>
  );
}

function Actions({ page: { documents, summary, certificate, sameSerial } }: { page: RecordPageView }) {
  const [failure, setFailure] = useState<string | null>(null);
  const again = async () => {
    const answer = await retest(summary.hash);
    if (!answer.ok) return setFailure(answer.message);
    const { serial, customer, description, batch } = summary;
    startDraft(
      {
        serial,
        customer: customer ?? "",
        description: description ?? "",
        batch: batch ?? "",
        ...(certificate.shop === null ? {} : { shop: certificate.shop }),
      },
      summary.planName,
    );
    location.hash = "#set-up";
  };
  return (
    <section class="sheet" aria-label="What to do with it">
      <div class="records-actions">
        {documents.map(({ title, href, opens }) =>
          opens === "page" ? (
            <a key={href} class="button" href={href} target="_blank" rel="noreferrer">
              {title}
            </a>
          ) : (
            <a key={href} class="button" href={href} download>
              {title}
            </a>
          ),
        )}
      </div>
      <div class="records-actions">
        <a class="button" href={`#records/compare/${encodeURIComponent(summary.serial)}`}>
          {sameSerial > 1 ? `Compare ${sameSerial} records over time` : "Over time"}
        </a>
        <button type="button" class="button" disabled={busy.value} onClick={() => void again()}>
          Test again with this plan
        </button>
      </div>
      <Failure message={failure} />
    </section>
  );
}
