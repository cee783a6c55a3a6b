/** What every sheet of the demo mill states besides the facts of its own break. */
export const demoContext = (facts: Readonly<Record<string, unknown>>): Readonly<Record<string, unknown>> => ({
  rendered: true,
  note: "Invented break of the demo mill Hollowmoor Wire. The photographs are rendered.",
  draw_direction: "arrow recorded, machine end upstream",
  mate: "yes",
  ...facts,
});
