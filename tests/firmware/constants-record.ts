import { crc16 } from "@pinwalk/firmware-protocol/crc16.js";

export interface ConstantsLine {
  readonly gain: number;
  readonly offsetQ5: number;
}

/** Design values of firmware/src/board.h. */
const volts: ConstantsLine = { gain: 33_016, offsetQ5: 0 };
const design = { current: { gain: 20_480, offsetQ5: 0 }, peak: { gain: 51_200, offsetQ5: 0 }, supply: volts };

/** Scale and offset of volts and amps. */
const uncertainties = 4;

export interface ConstantsChanges extends Partial<typeof design> {
  readonly near?: Record<number, ConstantsLine>;
  readonly serial: string;
  readonly date: string;
}

/** The first copy of firmware/src/calibration.h as it lies in EEPROM: little-endian, no gaps; the second is blank. */
export function constantsRecord(changes: ConstantsChanges): Uint8Array {
  const { current, peak, supply } = { ...design, ...changes };
  const lines = [
    current,
    peak,
    supply,
    ...Array.from({ length: 13 }, (_, channel) => changes.near?.[channel] ?? volts),
    ...Array.from({ length: 13 }, () => volts),
  ];
  const bytes = Buffer.alloc(1 + 2 + lines.length * 4 + 4 + uncertainties * 2 + 17 + 17 + 2);
  let at = bytes.writeUInt8(1, 0);
  at = bytes.writeUInt16LE(1, at);
  for (const { gain, offsetQ5 } of lines) {
    at = bytes.writeUInt16LE(gain, at);
    at = bytes.writeInt16LE(offsetQ5, at);
  }
  at = bytes.writeUInt16LE(4_400, at);
  at = bytes.writeUInt16LE(1_000, at);
  // None is stated.
  at += uncertainties * 2;
  bytes.write(changes.serial, at, "latin1");
  bytes.write(changes.date, at + 17, "latin1");
  bytes.writeUInt16LE(crc16(bytes.subarray(0, at + 34)), at + 34);
  const eeprom = new Uint8Array(1024).fill(0xff);
  eeprom.set(bytes);
  return eeprom;
}
