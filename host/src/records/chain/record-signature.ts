import { createPublicKey, type KeyObject, sign, verify } from "node:crypto";

/** DER of an Ed25519 SubjectPublicKeyInfo up to the 32 bytes of the key (RFC 8410 section 4). */
const spkiPrefix = Buffer.from("302a300506032b6570032100", "hex");

/** What is signed: a word that keeps signatures of one purpose from serving another, and a hash. */
function messageFor(purpose: string, hashHex: string): Buffer {
  return Buffer.from(`${purpose}\nsha256:${hashHex}\n`, "utf8");
}

/** The 32 bytes of an Ed25519 public key in hexadecimal: the name of the one who signs. */
export function publicKeyHex(key: KeyObject): string {
  const der = createPublicKey(key).export({ format: "der", type: "spki" });
  return der.subarray(spkiPrefix.length).toString("hex");
}

/** Chains have one signer for thousands of records, and making a key object takes longer than checking with it. */
let lastKey: { readonly hex: string; readonly key: KeyObject } | undefined;

function publicKeyFromHex(hex: string): KeyObject {
  if (lastKey?.hex !== hex) {
    const der = Buffer.concat([spkiPrefix, Buffer.from(hex, "hex")]);
    lastKey = { hex, key: createPublicKey({ key: der, format: "der", type: "spki" }) };
  }
  return lastKey.key;
}

export type SignedPurpose = "pinwalk-record/1" | "pinwalk-records/1";

/** Signs bytes with Ed25519 (RFC 8032); 64 bytes in hexadecimal. */
export function signMessage(privateKey: KeyObject, message: Uint8Array): string {
  return sign(null, message, privateKey).toString("hex");
}

/** True if the holder of `signerHex` signed these bytes. Never throws: what cannot be read does not hold. */
export function messageSignatureHolds(signerHex: string, message: Uint8Array, signatureHex: string): boolean {
  if (!/^[0-9a-f]{64}$/.test(signerHex) || !/^[0-9a-f]{128}$/.test(signatureHex)) return false;
  try {
    return verify(null, message, publicKeyFromHex(signerHex), Buffer.from(signatureHex, "hex"));
  } catch {
    return false;
  }
}

/** Signs a hash for one purpose. */
export function signHash(privateKey: KeyObject, purpose: SignedPurpose, hashHex: string): string {
  return signMessage(privateKey, messageFor(purpose, hashHex));
}

/** True if the holder of `signerHex` signed the hash for that purpose. */
export function signatureHolds(
  signerHex: string,
  purpose: SignedPurpose,
  hashHex: string,
  signatureHex: string,
): boolean {
  return messageSignatureHolds(signerHex, messageFor(purpose, hashHex), signatureHex);
}

/**
 * The form in which people compare a signer: 16 hexadecimal digits of its public key in groups of four.
 *
 * `signerName("3d4017c3e843895a…")` is `3d40 17c3 e843 895a`.
 */
export function signerName(signerHex: string): string {
  return (signerHex.slice(0, 16).match(/.{1,4}/g) ?? []).join(" ");
}
