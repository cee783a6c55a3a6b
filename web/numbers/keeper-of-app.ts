import type { App } from "../shell/app.svelte.ts";
import { createDescribeClient } from "../workers/describe-client.ts";
import { NumberCache } from "./number-cache.ts";
import { NumberKeeper } from "./number-keeper.ts";

/** One keeper for each application: several screens ask for the same numbers. */
const keepers = new WeakMap<App, NumberKeeper>();

export function keeperOf(app: App): NumberKeeper {
  const known = keepers.get(app);
  if (known) return known;
  const keeper = new NumberKeeper({
    store: app.bench,
    summaries: () => app.summaries,
    describe: createDescribeClient(),
    cache: new NumberCache(app.surroundings.numbersName ?? "endpair-numbers"),
  });
  keepers.set(app, keeper);
  return keeper;
}
