/** The parts of a training and the share of the whole at which each ends. */
export const STAGES = {
  comparing: { to: 0.6, what: "Comparing ways of learning" },
  curve: { to: 0.75, what: "Learning from fewer breaks, to see what more would bring" },
  all: { to: 1, what: "Learning from all breaks" },
} as const;

/** What is being done when this share of the whole is done, in words. */
export const stageAt = (part: number): string => (Object.values(STAGES).find(({ to }) => part < to) ?? STAGES.all).what;
