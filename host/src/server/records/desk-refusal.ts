/** A refusal that is not the store's: what was asked does not fit what lies on the workbench, or what goes on. */
export class DeskRefusal extends Error {
  readonly code: string;

  constructor(code: string, message: string) {
    super(message);
    this.name = "DeskRefusal";
    this.code = code;
  }
}
