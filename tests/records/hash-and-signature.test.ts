import { createPrivateKey } from "node:crypto";
import { sha256Hex } from "@pinwalk/host/records/chain/record-hash.js";
import {
  messageSignatureHolds,
  publicKeyHex,
  signatureHolds,
  signHash,
  signMessage,
} from "@pinwalk/host/records/chain/record-signature.js";
import { describe, expect, it } from "vitest";

describe("SHA-256", () => {
  // NIST, examples of FIPS 180-4 (SHA256.pdf of the Cryptographic Standards and Guidelines project), and the long message of FIPS 180-2 B.3.
  it.each([
    ["one block", "abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"],
    [
      "two blocks",
      "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
      "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    ],
    ["a million letters", "a".repeat(1_000_000), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"],
  ])("gives the published value for %s", (_name, text, hash) => {
    expect(sha256Hex(text)).toBe(hash);
  });
});

/** DER of a PKCS #8 Ed25519 key up to its 32 bytes (RFC 8410 section 7). */
const pkcs8 = Buffer.from("302e020100300506032b657004220420", "hex");

const privateKeyOf = (seedHex: string) =>
  createPrivateKey({ key: Buffer.concat([pkcs8, Buffer.from(seedHex, "hex")]), format: "der", type: "pkcs8" });

describe("Ed25519", () => {
  // RFC 8032 section 7.1: TEST 1, 2 and 3.
  const vectors = [
    {
      seed: "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
      publicKey: "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
      message: "",
      signature:
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    },
    {
      seed: "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
      publicKey: "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
      message: "72",
      signature:
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    },
    {
      seed: "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
      publicKey: "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
      message: "af82",
      signature:
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    },
  ];

  it.each(vectors)("signs and verifies the published message $message", ({ seed, publicKey, message, signature }) => {
    const key = privateKeyOf(seed);
    const bytes = Buffer.from(message, "hex");
    expect(publicKeyHex(key)).toBe(publicKey);
    expect(signMessage(key, bytes)).toBe(signature);
    expect(messageSignatureHolds(publicKey, bytes, signature)).toBe(true);
  });

  it("refuses a signature with one bit changed, another signer's, and nonsense, without throwing", () => {
    const [first, second] = vectors;
    if (!first || !second) throw new Error("no vectors");
    const bytes = Buffer.from(second.message, "hex");
    for (let bit = 0; bit < 8; bit++) {
      const changed = Buffer.from(second.signature, "hex");
      changed[bit * 7] = (changed[bit * 7] ?? 0) ^ (1 << bit);
      expect(messageSignatureHolds(second.publicKey, bytes, changed.toString("hex"))).toBe(false);
    }
    expect(messageSignatureHolds(first.publicKey, bytes, second.signature)).toBe(false);
    expect(messageSignatureHolds("00".repeat(32), bytes, second.signature)).toBe(false);
    expect(messageSignatureHolds("nonsense", bytes, "nonsense")).toBe(false);
  });

  it("keeps a signature of a record from serving as one of an export", () => {
    const key = privateKeyOf(vectors[0]?.seed ?? "");
    const hash = sha256Hex("abc");
    const signature = signHash(key, "pinwalk-record/1", hash);
    expect(signatureHolds(publicKeyHex(key), "pinwalk-record/1", hash, signature)).toBe(true);
    expect(signatureHolds(publicKeyHex(key), "pinwalk-records/1", hash, signature)).toBe(false);
  });
});
