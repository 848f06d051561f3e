import { useState } from "preact/hooks";

/** The server's own bounds for one request. */
const mostPhotos = 8;
const mostBytes = 12 * 1024 * 1024;
const mostBytesInAll = 34 * 1024 * 1024;

interface PhotoFieldProps {
  readonly photos: readonly File[];
  readonly onChange: (photos: readonly File[]) => void;
}

/** Photos for the record, from a camera or a folder; each can be taken out again. */
export function PhotoField({ photos, onChange }: PhotoFieldProps) {
  const [refused, setRefused] = useState<string | null>(null);
  const add = (files: readonly File[]) => {
    const small = files.filter(({ size }) => size <= mostBytes);
    const all = [...photos, ...small].slice(0, mostPhotos);
    const bytes = all.reduce((sum, { size }) => sum + size, 0);
    if (bytes > mostBytesInAll)
      return setRefused("These are too large together. Leave some out, or make them smaller.");
    setRefused(
      all.length < photos.length + files.length
        ? `Some were left out: up to ${mostPhotos} photos of at most 12 MB each.`
        : null,
    );
    onChange(all);
  };
  return (
    <div class="field keep-wide">
      <label for="keep-photos">Photos (JPEG, PNG or WebP)</label>
      <input
        id="keep-photos"
        type="file"
        multiple
        accept="image/jpeg,image/png,image/webp"
        onChange={(event) => {
          add([...(event.currentTarget.files ?? [])]);
          event.currentTarget.value = "";
        }}
      />
      {refused && (
        <p class="sheet-note" role="alert">
          {refused}
        </p>
      )}
      {photos.length > 0 && (
        <ul class="keep-photos">
          {photos.map((photo, index) => (
            <li key={`${photo.name}${index}`}>
              <span>
                <bdi>{photo.name}</bdi>, {Math.ceil(photo.size / 1000)} kB
              </span>
              <button
                type="button"
                class="button"
                onClick={() => onChange(photos.filter((_one, place) => place !== index))}
              >
                Leave out<span class="said-only"> {photo.name}</span>
              </button>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

/** A file's bytes in base64, without the head that a data address has. */
export function base64Of(file: File): Promise<string> {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(String(reader.result).replace(/^[^,]*,/, ""));
    reader.onerror = () => reject(reader.error ?? new Error("unreadable"));
    reader.readAsDataURL(file);
  });
}
