import { createModelService, type ModelService } from "../../web/workers/model-client.ts";

let shared: ModelService | null = null;

/** One thread for the rooms of all tests of a file: each new one would load the runtime again. */
export function oneThread(): ModelService {
  const service = (shared ??= createModelService());
  return {
    open: (file) => service.open(file),
    ask: (row, reasonsFor) => service.ask(row, reasonsFor),
    close: () => undefined,
  };
}
