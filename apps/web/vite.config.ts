import { join } from 'node:path';
import react from '@vitejs/plugin-react';
import { defaultClientConditions, defineConfig } from 'vite';
import { benchOffline } from './build/bench-offline.js';

const PUBLIC = join(import.meta.dirname, 'public');

/**
 * The libraries are bundled from their sources (condition `development`), so the pages build without the TypeScript
 * projects having been built first. Nothing is inlined: the server's content security policy allows no data: scripts
 * and no inline styles.
 */
export default defineConfig({
  root: import.meta.dirname,
  plugins: [react(), benchOffline(PUBLIC, ['manifest.webmanifest', 'icon.svg', 'icon-192.png', 'icon-512.png'])],
  resolve: { conditions: ['development', ...defaultClientConditions] },
  build: {
    outDir: 'dist/app',
    emptyOutDir: true,
    assetsInlineLimit: 0,
    target: ['chrome109', 'safari16', 'firefox115'],
    sourcemap: false,
    rollupOptions: {
      input: {
        index: join(import.meta.dirname, 'index.html'),
        'service-worker': join(import.meta.dirname, 'src/service-worker/service-worker.ts'),
      },
      output: {
        // The service worker has a fixed name at the root: its address is its identity, and its place is what it serves.
        entryFileNames: ({ name }) => (name === 'service-worker' ? 'sw.js' : 'assets/[name]-[hash].js'),
      },
    },
  },
  server: { proxy: { '/api': process.env.JARFOLD_API ?? 'http://127.0.0.1:3000' } },
});
