import ts from "typescript-eslint";
import svelte from "eslint-plugin-svelte";

/** Rooms and who may call whom; types included. */
const fence = (patterns) => ({
  "no-restricted-imports": ["error", { patterns }],
});
const browserThings = [
  "svelte",
  "svelte/*",
  "konva",
  "konva/*",
  "idb",
  "onnxruntime-web",
  "onnxruntime-web/*",
  "node:*",
];

export default ts.config(
  {
    ignores: [
      "dist/",
      "web/svelte.config.js",
      "coverage/",
      "node_modules/",
      "reports/",
      "samples/",
      ".corpus/",
      ".stryker-tmp/",
      "**/*.d.ts",
    ],
  },
  ...ts.configs.recommendedTypeChecked,
  ...svelte.configs["flat/recommended"],
  {
    languageOptions: {
      parserOptions: {
        projectService: { allowDefaultProject: ["eslint.config.js"] },
        extraFileExtensions: [".svelte"],
      },
    },
    rules: {
      "@typescript-eslint/no-floating-promises": "error",
      "@typescript-eslint/consistent-type-imports": "error",
      "@typescript-eslint/no-unused-vars": ["error", { argsIgnorePattern: "^_" }],
      "no-empty": ["error", { allowEmptyCatch: false }],
    },
  },
  { files: ["**/*.svelte", "**/*.svelte.ts"], languageOptions: { parserOptions: { parser: ts.parser } } },
  // Records are replaced, never mutated, so a plain Map or Set is right where it is built once and read.
  { files: ["**/*.svelte.ts", "**/*.svelte"], rules: { "svelte/prefer-svelte-reactivity": "off" } },
  {
    // The types of events in markup are checked by svelte-check; the linter does not see them.
    files: ["**/*.svelte"],
    rules: {
      "@typescript-eslint/no-unsafe-call": "off",
      "@typescript-eslint/no-unsafe-member-access": "off",
      "@typescript-eslint/no-unsafe-argument": "off",
      "@typescript-eslint/no-unsafe-assignment": "off",
      "@typescript-eslint/no-unsafe-return": "off",
    },
  },
  {
    files: ["model/**"],
    rules: {
      ...fence([
        {
          group: ["**/web/**", "**/scripts/**", ...browserThings],
          message: "model/ is pure: no browser, no storage, no scripts.",
        },
      ]),
      "no-restricted-globals": [
        "error",
        "window",
        "document",
        "crypto",
        "performance",
        "fetch",
        "setTimeout",
        "localStorage",
        "navigator",
      ],
      "no-restricted-properties": [
        "error",
        { object: "Math", property: "random", message: "Pass randomness in." },
        { object: "Date", property: "now", message: "Pass the time in." },
      ],
    },
  },
  {
    files: ["model/evidence/**", "model/route/**"],
    rules: fence([
      {
        group: [
          "**/picture/**",
          "**/measure/**",
          "!**/measure/units.ts",
          "!**/measure/awg.ts",
          "**/classifier/**",
          "**/web/**",
          ...browserThings,
        ],
        message: "evidence and route know nothing of pixels.",
      },
      { group: ["**/break/*", "!**/break/geometry.ts"], message: "evidence knows observations, not records." },
    ]),
  },
  {
    files: ["model/picture/**"],
    rules: fence([
      { group: ["**/evidence/**", "**/web/**", ...browserThings], message: "picture knows nothing of break types." },
    ]),
  },
  {
    files: ["web/canvas/**"],
    rules: fence([
      {
        group: ["**/storage/**", "**/workers/**", "**/bench/**", "**/shell/**"],
        message: "canvas only draws and turns gestures into geometry.",
      },
    ]),
  },
  {
    files: ["web/storage/**", "web/workers/**"],
    rules: fence([
      {
        group: ["**/bench/**", "**/log/**", "**/sheet/**", "**/canvas/**", "**/shell/**", "svelte", "svelte/*"],
        message: "storage and workers know no screens.",
      },
    ]),
  },
  { files: ["eslint.config.js"], ...ts.configs.disableTypeChecked },
);
