import { create } from "qrcode";
import { qrPath } from "../../records/report/record-qr.js";
import type { CodeView } from "./access-contract.js";

/**
 * Where a phone goes to be paired. The code stands behind the `#`: browsers send that part to nobody, and the page takes it out
 * of the address before it does anything else.
 */
export function pairingPlace(address: string, code: string): CodeView["places"][number] {
  const { modules } = create(`${address}/pair/#${code}`, { errorCorrectionLevel: "M" });
  const path = qrPath({ size: modules.size, isDark: (row, column) => modules.get(row, column) === 1 });
  return { url: `${address}/pair/`, qrSize: modules.size, qrPath: path };
}
