import { defineConfig } from "vite";

export default defineConfig({
  base: "./",
  build: {
    outDir: "../layout/bench/page",
    emptyOutDir: true,
    target: "es2021",
    modulePreload: false,
    rollupOptions: {
      output: { entryFileNames: "bench.js", assetFileNames: "bench[extname]", chunkFileNames: "[name].js" },
    },
  },
});
