import {
  type ContainerSizePatch,
  containerSizeSchema,
  type FarmSettingsPatch,
  type FirstStart,
  failedJobListSchema,
  failedJobSchema,
  farmSchema,
  farmSettingsSchema,
  firstStartedSchema,
  type NewContainerSize,
  type NewRoom,
  type NewShelf,
  type NewStrain,
  type RoomPatch,
  roomSchema,
  type ShelfPatch,
  type StrainPatch,
  shelfSchema,
  speciesListSchema,
  strainSchema,
} from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { askAnew } from './kept-answers.js';
import { keys, refreshFarm } from './keys.js';
import { type AnswerSchema, request } from './request.js';

/** Rooms, shelves, strains, sizes and settings, in one answer. */
export function useFarm() {
  return useQuery({
    queryKey: keys.farm,
    queryFn: ({ signal }) => request('/api/farm', { answer: farmSchema, signal }),
  });
}

/** The species with their published values; these do not change while a page is open. */
export function useSpecies() {
  return useQuery({
    queryKey: keys.species,
    queryFn: ({ signal }) => request('/api/farm/species', { answer: speciesListSchema, signal }),
    staleTime: Number.POSITIVE_INFINITY,
  });
}

export function useFirstStart() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (body: FirstStart) =>
      request('/api/farm/first-start', { method: 'POST', body, answer: firstStartedSchema }),
    onSuccess: () => refreshFarm(client),
  });
}

export const useSaveSettings = () =>
  useSaving((edit: Edit<FarmSettingsPatch>) => change('/api/farm/settings', edit, farmSettingsSchema));

export const useSaveRoom = () =>
  useSaving((edit: AddOrEdit<NewRoom, RoomPatch>) => addOrChange('/api/farm/rooms', edit, roomSchema));

export const useSaveShelf = () =>
  useSaving((edit: AddOrEdit<NewShelf, ShelfPatch>) => addOrChange('/api/farm/shelves', edit, shelfSchema));

export const useSaveStrain = () =>
  useSaving((edit: AddOrEdit<NewStrain, StrainPatch>) => addOrChange('/api/farm/strains', edit, strainSchema));

export const useSaveSize = () =>
  useSaving((edit: AddOrEdit<NewContainerSize, ContainerSizePatch>) =>
    addOrChange('/api/farm/sizes', edit, containerSizeSchema),
  );

/** Background work that failed and is kept until somebody looks at it. */
export function useFailedJobs() {
  return useQuery({
    queryKey: keys.jobs,
    queryFn: ({ signal }) => request('/api/jobs/failed', { answer: failedJobListSchema, signal }),
  });
}

export function useRetryJob() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (id: string) => request(`/api/jobs/failed/${id}/retry`, { method: 'POST', answer: failedJobSchema }),
    onSuccess: () => askAnew(client, keys.jobs),
  });
}

export interface Edit<Patch> {
  readonly revision: number;
  readonly patch: Patch;
}

export type AddOrEdit<New, Patch> = { readonly add: New } | (Edit<Patch> & { readonly id: string });

function addOrChange<New, Patch, T>(path: string, edit: AddOrEdit<New, Patch>, answer: AnswerSchema<T>): Promise<T> {
  return 'add' in edit
    ? request(path, { method: 'POST', body: edit.add, answer })
    : change(`${path}/${edit.id}`, edit, answer);
}

function change<Patch, T>(path: string, { revision, patch }: Edit<Patch>, answer: AnswerSchema<T>): Promise<T> {
  return request(path, { method: 'PATCH', body: patch, revision, answer });
}

function useSaving<Input, T>(mutationFn: (input: Input) => Promise<T>) {
  const client = useQueryClient();
  return useMutation({ mutationFn, onSuccess: () => refreshFarm(client) });
}
