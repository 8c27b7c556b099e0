/** `npm start`: builds what is out of date, then starts the whole farm (see apps/launcher). */
import { build } from './build.mjs';

try {
  await build();
} catch (error) {
  console.error(error.message);
  process.exit(1);
}
await import('../apps/launcher/dist/main.js');
