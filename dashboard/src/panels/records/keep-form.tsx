import type { KeepRequest } from "@pinwalk/host/server/records/records-contract.js";
import { useState } from "preact/hooks";
import { draftKept, type KeepDraft, keepDraft, lastKept, sameAsLast } from "../../live/keep-draft.js";
import { keepWalk } from "../../live/records-requests.js";
import { Failure } from "./failure.js";
import { base64Of, PhotoField } from "./photo-field.js";

interface KeepFormProps {
  readonly walkNumber: number;
  readonly cable: boolean;
  readonly again: boolean;
  readonly onKept: (remark: string | null) => void;
}

/** Members that were left blank are not part of the record. */
function request(walkNumber: number, cable: boolean, photos: KeepRequest["photos"]): KeepRequest {
  const { serial, person, notes, ...others } = keepDraft.value;
  const given = Object.entries({ ...others, batch: cable ? others.batch : "" })
    .map(([name, text]) => [name, text.trim()] as const)
    .filter(([, text]) => text !== "");
  return {
    walkNumber,
    kind: cable ? "cable" : "vehicle",
    serial: serial.trim(),
    person: person.trim(),
    ...Object.fromEntries(given),
    ...(notes.trim() === "" ? {} : { notes: notes.trimEnd().replaceAll("\r\n", "\n") }),
    photos,
  };
}

/** Who, what and for whom. Two fields must be filled in; the person's name is there from the last time. */
export function KeepForm({ walkNumber, cable, again, onKept }: KeepFormProps) {
  const [failure, setFailure] = useState<string | null>(null);
  const [keeping, setKeeping] = useState(false);
  const [photos, setPhotos] = useState<readonly File[]>([]);
  const thing = cable ? "Cable" : "Vehicle";

  const keep = async (event: Event) => {
    event.preventDefault();
    setKeeping(true);
    setFailure(null);
    const encoded = await Promise.all(photos.map(async (file) => ({ base64: await base64Of(file) })));
    const answer = await keepWalk(request(walkNumber, cable, encoded));
    setKeeping(false);
    if (!answer.ok) return setFailure(answer.message);
    draftKept();
    setPhotos([]);
    onKept(answer.value.remark);
  };

  return (
    <form class="keep-form" onSubmit={(event) => void keep(event)}>
      {lastKept.value && keepDraft.value.serial === "" && (
        <p class="keep-wide">
          <button type="button" class="button" onClick={sameAsLast}>
            <span>
              The same as before: <bdi>{lastKept.value.serial}</bdi>
            </span>
          </button>
        </p>
      )}
      <Field
        name="serial"
        label={cable ? "Cable serial number" : "Vehicle number (licence plate or VIN)"}
        most={64}
        required
      />
      <Field name="person" label="Tested by" most={120} required autoComplete="name" />
      <Field name="customer" label="Customer" most={120} />
      <Field name="description" label={`${thing} in words`} most={120} />
      <Field name="shop" label="Shop, as it stands on the certificate" most={120} autoComplete="organization" />
      {cable && <Field name="batch" label="Batch" most={64} />}
      <div class="field keep-wide">
        <label for="keep-notes">Notes</label>
        <textarea
          id="keep-notes"
          rows={3}
          maxLength={10_000}
          value={keepDraft.value.notes}
          onInput={(event) => {
            keepDraft.value = { ...keepDraft.value, notes: event.currentTarget.value };
          }}
        />
      </div>
      <PhotoField photos={photos} onChange={setPhotos} />
      <div class="keep-wide">
        <Failure message={failure} />
        <button type="submit" class="button button-solid" disabled={keeping}>
          {keeping ? "Keeping …" : again ? "Keep again" : "Keep record"}
        </button>
      </div>
    </form>
  );
}

interface FieldProps {
  readonly name: Exclude<keyof KeepDraft, "notes">;
  readonly label: string;
  readonly most: number;
  readonly required?: boolean;
  readonly autoComplete?: "name" | "organization";
}

function Field({ name, label, most, required = false, autoComplete }: FieldProps) {
  return (
    <div class="field">
      <label for={`keep-${name}`}>
        {label}
        {required && " (needed)"}
      </label>
      <input
        id={`keep-${name}`}
        required={required}
        // A blank is no name.
        {...(required ? { pattern: ".*\\S.*", title: "Not blank" } : {})}
        maxLength={most}
        autoComplete={autoComplete ?? "off"}
        value={keepDraft.value[name]}
        onInput={(event) => {
          keepDraft.value = { ...keepDraft.value, [name]: event.currentTarget.value };
        }}
      />
    </div>
  );
}
