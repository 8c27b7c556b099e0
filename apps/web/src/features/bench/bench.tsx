import '../../messages/bench-words.js';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { ErrorBoundary } from '../../app/ErrorBoundary.js';
import { BenchRoot } from './BenchRoot.js';

const root = document.getElementById('root');
if (root) {
  createRoot(root).render(
    <StrictMode>
      <ErrorBoundary>
        <BenchRoot />
      </ErrorBoundary>
    </StrictMode>,
  );
}
