import * as z from "zod";

/**
 * Schemas are interpreted, never compiled: compiling needs `new Function`, which the content security policy of the
 * application forbids. Imported first by every file that declares a schema.
 */
z.config({ jitless: true });
