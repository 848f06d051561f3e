import { createHash, randomBytes, timingSafeEqual } from "node:crypto";

/** 256 random bits as text for a cookie. */
export function newSecret(): string {
  return randomBytes(32).toString("base64url");
}

/** What is kept of a secret: whoever reads the memory learns nothing that opens a door. */
export function hashOfSecret(secret: string): Buffer {
  return createHash("sha256").update(secret).digest();
}

/** Whether a secret is the one of this hash; takes the same time wherever they differ. */
export function isSecretOf(hash: Buffer, secret: string): boolean {
  return timingSafeEqual(hash, hashOfSecret(secret));
}
