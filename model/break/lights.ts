/**
 * Names proposed for the light of a photograph; a lab may write its own.
 *
 * @source common practice, no source.
 */
export const LIGHT_NAMES = [
  "ring light",
  "oblique light from one side",
  "two lights from both sides",
  "light through the lens",
  "diffuse dome",
  "crossed polarisers",
  "secondary electrons",
  "back-scattered electrons",
] as const;
