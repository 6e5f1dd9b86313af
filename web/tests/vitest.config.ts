import { defineConfig } from "vitest/config";

/** Tests of the built program in a browser: one program and one browser for all, files one after the other. */
export default defineConfig({
  cacheDir: "../node_modules/.vite-browser",
  test: {
    root: import.meta.dirname,
    include: ["**/*.browser.ts"],
    globalSetup: ["./program.ts"],
    environment: "node",
    fileParallelism: false,
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});
