/** The serial number after this one: its last group of digits counted on, with its zeros. `W48-009` → `W48-010`. */
export function nextSerial(serial: string): string {
  const found = /^(.*?)(\d+)(\D*)$/s.exec(serial);
  if (!found) return `${serial}-2`;
  const [, before = "", digits = "", after = ""] = found;
  const next = (BigInt(digits) + 1n).toString().padStart(digits.length, "0");
  return `${before}${next}${after}`;
}
