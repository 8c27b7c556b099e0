import { useState } from 'react';
import { useSearch } from 'wouter';

/** The jars chosen on a screen; a job or a scanned label may have chosen some already (`?jars=id,id`). */
export function useChosenJars() {
  const search = useSearch();
  return useState<ReadonlySet<string>>(() => {
    const given = new URLSearchParams(search).get('jars');
    return new Set(given ? given.split(',') : []);
  });
}
