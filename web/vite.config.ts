import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vitest/config";

/** The program that answers while developing: `binwright serve --port 8642`, say. */
const program = process.env.BINWRIGHT ?? "http://127.0.0.1:8642";

export default defineConfig({
  plugins: [svelte()],
  // Relative addresses, so that the page also works below a path of a reverse proxy.
  base: "./",
  build: {
    outDir: "dist",
    emptyOutDir: true,
    sourcemap: false,
    target: "es2022",
    // No inlined images: the policy of the page allows scripts and styles of its own origin only.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
  },
  server: { proxy: { "/api": { target: program } } },
  test: { include: ["src/**/*.test.ts"], environment: "node" },
});
