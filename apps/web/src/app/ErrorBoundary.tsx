import { Component, type ReactNode } from 'react';
import { t } from '../messages/translate.js';
import { Failure } from '../ui/Failure.js';

/** The last net: a fault of a screen is said, and the page can be loaded again. */
export class ErrorBoundary extends Component<{ readonly children: ReactNode }, { readonly error: unknown }> {
  override state: { readonly error: unknown } = { error: null };

  static getDerivedStateFromError(error: unknown) {
    return { error };
  }

  override render() {
    if (this.state.error === null) return this.props.children;
    return (
      <main>
        <h1>{t('product.name')}</h1>
        <Failure error={this.state.error} onRetry={() => window.location.reload()} />
      </main>
    );
  }
}
