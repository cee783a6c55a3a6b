import { expect, test } from "@playwright/test";
import { openDemoMill, watch } from "./bench-hands.ts";

test("nothing is asked from anywhere else, the policy is strict, and no screen complains", async ({ page }) => {
  test.setTimeout(240_000);
  const seen = watch(page);
  const response = await page.goto("./");
  expect(response?.headers()["content-security-policy"]).toContain("default-src 'self'");
  expect(await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute("content")).toContain(
    "script-src 'self' 'wasm-unsafe-eval'; style-src 'self'",
  );
  await openDemoMill(page);
  for (const place of ["#/log", "#/intake", "#/types/central_burst", "#/settings"]) {
    await page.goto(`./${place}`);
    await expect(page.getByRole("heading", { level: 1 }).first()).toBeVisible();
  }
  // A request to elsewhere must fail by the policy, whatever a script tries.
  const blocked = await page.evaluate(() => fetch("https://example.org/").then(() => false, () => true)); // prettier-ignore
  expect(blocked).toBe(true);
  expect(seen.elsewhere.filter((url) => !url.startsWith("https://example.org/"))).toEqual([]);
  expect(seen.wrong.filter((text) => !text.includes("example.org"))).toEqual([]);
});

test("once visited it opens without a network", async ({ page, context }) => {
  await page.goto("./");
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
  });
  await page.reload();
  await context.setOffline(true);
  await page.reload();
  await expect(page.getByRole("heading", { level: 1 }).first()).toBeVisible();
  await page.goto("./#/types/torsion");
  await expect(page.getByRole("heading", { name: /torsion/i }).first()).toBeVisible();
});
