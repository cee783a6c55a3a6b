/** Made by `web/set-schemas.ts` while building. */
declare module "virtual:set-schemas" {
  interface Validate {
    (content: unknown): boolean;
    readonly errors?: readonly { readonly instancePath: string; readonly message?: string }[] | null;
  }
  export const coco: Validate;
  export const croissant: Validate;
  /** Turtle. */
  export const shapes: string;
}
