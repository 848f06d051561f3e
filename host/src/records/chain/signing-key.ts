import { createPrivateKey, createPublicKey, generateKeyPairSync, type KeyObject } from "node:crypto";
import {
  chmodSync,
  closeSync,
  existsSync,
  fsyncSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from "node:fs";
import { dirname } from "node:path";
import { asRecordsError, RecordsError } from "../records-error.js";
import { publicKeyHex } from "./record-signature.js";

/** The shop's key pair. `signer` is the public half as 64 hexadecimal digits. */
export interface SigningKey {
  readonly privateKey: KeyObject;
  readonly signer: string;
}

/** What a person must know of the key; shown by the command line and the dashboard. */
export const signingKeyWords =
  "Every record is signed with this shop's key. It was made when the first record was saved and lies beside the store, " +
  "readable by its owner alone. Keep a copy in a safe place: export it and lock it away. If it is lost, every old record " +
  "still verifies, because each carries the public half; but new records can no longer join the old chain: they start " +
  "a new one under a new key, and customers who hold the old signer's name must be told. If it falls into other hands, " +
  "its holder can sign records in this shop's name: start a new key, and say from which record on. The key proves that a record " +
  "is unchanged since it was signed, to everyone but the key's own holder; a certificate handed out " +
  "with its hash proves it against the shop too.";

/** Where the key of a store lies. */
export function keyPathOf(storePath: string): string {
  return `${storePath}.key`;
}

function parseKey(pem: string, path: string): SigningKey {
  try {
    const privateKey = createPrivateKey(pem);
    if (privateKey.asymmetricKeyType !== "ed25519") throw new Error(`a ${privateKey.asymmetricKeyType} key`);
    return { privateKey, signer: publicKeyHex(privateKey) };
  } catch (error) {
    throw new RecordsError("key-refused", `${path}: this is not a signing key of Pinwalk (Ed25519, PEM).`, {
      cause: error,
    });
  }
}

/**
 * Writes a secret so that no one but the owner can ever read it, and so that it is there whole or not at all: under another
 * name first, flushed, then renamed, with the folder flushed too. Refuses to write over a file (EEXIST).
 */
function writeSecret(path: string, text: string): void {
  if (existsSync(path)) throw Object.assign(new Error(`${path}: there is a file already`), { code: "EEXIST" });
  const part = `${path}.${process.pid}.part`;
  rmSync(part, { force: true });
  const file = openSync(part, "wx", 0o600);
  try {
    writeSync(file, text);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
  renameSync(part, path);
  if (process.platform === "win32") return;
  const folder = openSync(dirname(path), "r");
  try {
    fsyncSync(folder);
  } finally {
    closeSync(folder);
  }
}

/**
 * Reads the key of a store; undefined if there is none. Rights that let others read it are taken back: a copier may
 * have widened them. Throws `key-refused`, `read-only`.
 */
export function readSigningKey(path: string): SigningKey | undefined {
  let pem: string;
  try {
    if (process.platform !== "win32" && (statSync(path).mode & 0o077) !== 0) chmodSync(path, 0o600);
    pem = readFileSync(path, "utf8");
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return undefined;
    throw asRecordsError(error, path);
  }
  return parseKey(pem, path);
}

/** Makes a new key and keeps it at `path`, which must not exist yet. Throws `read-only`, `disk-full`. */
export function makeSigningKey(path: string): SigningKey {
  const { privateKey } = generateKeyPairSync("ed25519");
  try {
    writeSecret(path, privateKey.export({ format: "pem", type: "pkcs8" }).toString());
  } catch (error) {
    throw asRecordsError(error, path);
  }
  return { privateKey, signer: publicKeyHex(privateKey) };
}

/** Copies the private key to a file of its own for safe keeping; refuses to write over anything. */
export function exportSigningKey(key: SigningKey, path: string): void {
  try {
    writeSecret(path, key.privateKey.export({ format: "pem", type: "pkcs8" }).toString());
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "EEXIST")
      throw new RecordsError("key-refused", `${path}: there is a file already; a key never overwrites one.`);
    throw asRecordsError(error, path);
  }
}

/** The public half as PEM, for those who want to check records with tools of their own. */
export function publicKeyPem(key: SigningKey): string {
  return createPublicKey(key.privateKey).export({ format: "pem", type: "spki" }).toString();
}
