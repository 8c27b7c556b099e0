import react from '@vitejs/plugin-react';
import { defaultClientConditions, defineConfig } from 'vite';

/**
 * The libraries are bundled from their sources (condition `development`), so the pages build without the TypeScript
 * projects having been built first. Nothing is inlined: the server's content security policy allows no data: scripts
 * and no inline styles.
 */
export default defineConfig({
  root: import.meta.dirname,
  plugins: [react()],
  resolve: { conditions: ['development', ...defaultClientConditions] },
  build: {
    outDir: 'dist/app',
    emptyOutDir: true,
    assetsInlineLimit: 0,
    target: ['chrome109', 'safari16', 'firefox115'],
    sourcemap: false,
  },
  server: { proxy: { '/api': process.env.JARFOLD_API ?? 'http://127.0.0.1:3000' } },
});
