/** The kinds of picture that are kept; the word is the media type under which it is stored and sent. */
export type PictureType = "image/jpeg" | "image/png" | "image/webp";

/** Width and height in pixels, as the picture's own frame says. */
export interface PictureSize {
  readonly type: PictureType;
  readonly width: number;
  readonly height: number;
}

/** A reader of one format: the size of a picture that was walked through to its end, or what is wrong with it. */
export type PictureReading = PictureSize | { readonly problem: string };
