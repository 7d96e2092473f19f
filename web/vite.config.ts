import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vite";

// Files with a hash in their name never change and may be kept for ever; index.html, sw.js and the
// manifest keep their names.
export default defineConfig({
  plugins: [svelte()],
  base: "./",
  build: {
    target: "es2022",
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0, // no data: addresses, so that the content policy stays narrow
    rolldownOptions: {
      input: { index: "index.html", sw: "src/sw.ts" },
      output: {
        entryFileNames: (chunk) => (chunk.name === "sw" ? "sw.js" : "assets/[name]-[hash].js"),
        chunkFileNames: "assets/[name]-[hash].js",
        assetFileNames: "assets/[name]-[hash][extname]",
      },
    },
  },
  server: {
    proxy: { "/api": process.env["BIGHT_SERVER"] ?? "http://127.0.0.1:8080" },
  },
  test: { include: ["src/**/*.test.ts"], environment: "node" },
} as Parameters<typeof defineConfig>[0]);
