import { ClassifierError } from "../../model/classifier/classifier-error.ts";

/** The one file in the folder of the shipped model, as an address of the own origin. */
const FILES = import.meta.glob<string>("../../model/classifier/shipped/*.onnx", {
  query: "?url",
  import: "default",
  eager: true,
});

/**
 * The model that comes with Endpair, fetched from its own origin.
 *
 * @throws ClassifierError `not-a-model` when it is not there.
 */
export async function shippedModel(): Promise<Uint8Array<ArrayBuffer>> {
  const [url] = Object.values(FILES);
  const response = url === undefined ? null : await fetch(new URL(url, document.baseURI)).catch(() => null);
  if (response?.ok !== true)
    throw new ClassifierError(
      "not-a-model",
      "The model that comes with Endpair is not beside the application.",
      "Open Endpair once with its server at hand; after that it works without.",
    );
  return new Uint8Array(await response.arrayBuffer());
}
