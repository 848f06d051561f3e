// A program that keeps records one after the other until it is killed, and tells each one on stdout once it is confirmed.
// node keep-until-killed.mjs STORE JOB-FILE PHOTO-FILE
import { readFileSync, writeSync } from "node:fs";
import { RecordStore } from "@pinwalk/host/records/store/record-store.js";

const [, , storePath, jobPath, photoPath] = process.argv;
const job = JSON.parse(readFileSync(jobPath, "utf8"));
const photo = readFileSync(photoPath);
const store = await RecordStore.openForWriting(storePath, { version: "0.0.0-test" });
for (let count = 0; ; count++) {
  // Every third with a photo, of its own, so that records of several kinds of length are cut off.
  const photos = count % 3 === 0 ? [{ data: Buffer.concat([photo, Buffer.from(`${process.pid}-${count}`)]) }] : [];
  const { hash } = await store.keep({ job, photos });
  writeSync(1, `${hash}\n`);
}
