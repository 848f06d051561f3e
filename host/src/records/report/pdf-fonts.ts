import { createRequire } from "node:module";

const require = createRequire(import.meta.url);

/**
 * The font of everything that is printed: DejaVu Sans Condensed, a free font that covers Latin, Greek, Cyrillic, Armenian, Georgian,
 * Hebrew and Arabic. The fonts that every PDF reader has know western Latin alone.
 */
export const fontFiles = {
  plain: require.resolve("dejavu-fonts-ttf/ttf/DejaVuSansCondensed.ttf"),
  bold: require.resolve("dejavu-fonts-ttf/ttf/DejaVuSansCondensed-Bold.ttf"),
} as const;

export type FontName = keyof typeof fontFiles;
