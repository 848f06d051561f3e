/** What a wire did during a few milliseconds: volts against the bench's ground, milliseconds of the bench's clock. */
export interface SignalWindow {
  /** Beginning of the window. */
  readonly atMs: number;
  readonly lengthMs: number;
  readonly minVolts: number;
  readonly meanVolts: number;
  readonly maxVolts: number;
  /** How often it rose through the watch's limit; absent where nobody counted. */
  readonly rises?: number;
}
