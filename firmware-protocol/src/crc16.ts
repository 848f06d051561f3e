const polynomial = 0x1021;
const start = 0xffff;

/**
 * CRC-16/IBM-3740: polynomial 1021, start FFFF, not reflected, nothing added at the end. The bytes of "123456789" give
 * 29B1 (RevEng catalogue of parametrised CRC algorithms, entry CRC-16/IBM-3740). Bit by bit, as the firmware does it:
 * a line is short and a table would be one more thing to get wrong.
 */
export function crc16(bytes: Uint8Array): number {
  let remainder = start;
  for (const byte of bytes) {
    remainder ^= byte << 8;
    for (let bit = 0; bit < 8; bit += 1) {
      remainder = remainder & 0x8000 ? ((remainder << 1) ^ polynomial) & 0xffff : (remainder << 1) & 0xffff;
    }
  }
  return remainder;
}
