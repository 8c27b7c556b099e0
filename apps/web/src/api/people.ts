import {
  type BenchTime,
  deviceListSchema,
  enrolmentSchema,
  type NewStaff,
  type StaffMember,
  staffListSchema,
  staffMemberSchema,
} from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { askAnew } from './kept-answers.js';
import { refreshFarm } from './keys.js';
import { request } from './request.js';

const STAFF = ['staff'];
const DEVICES = ['devices'];

/** @param may whether the person may see the list, which only those who lead do */
export function useStaff(may = true) {
  return useQuery({
    enabled: may,
    queryKey: STAFF,
    queryFn: ({ signal }) => request('/api/staff', { answer: staffListSchema, signal }),
  });
}

export function useDevices() {
  return useQuery({
    queryKey: DEVICES,
    queryFn: ({ signal }) => request('/api/devices', { answer: deviceListSchema, signal }),
  });
}

export type StaffChange =
  | { readonly kind: 'add'; readonly body: NewStaff }
  | { readonly kind: 'change'; readonly member: StaffMember; readonly name: string; readonly role: StaffMember['role'] }
  | { readonly kind: 'bench-time'; readonly member: StaffMember; readonly body: BenchTime }
  | { readonly kind: 'pin'; readonly member: StaffMember; readonly pin: string }
  | { readonly kind: 'leave' | 'return'; readonly member: StaffMember };

export function useChangeStaff() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: sendStaffChange,
    // Minutes and days away change the plan as well.
    onSuccess: () => Promise.all([askAnew(client, STAFF), refreshFarm(client)]),
  });
}

async function sendStaffChange(change: StaffChange): Promise<unknown> {
  if (change.kind === 'add')
    return request('/api/staff', { method: 'POST', body: change.body, answer: staffMemberSchema });
  const { staffId, revision } = change.member;
  const path = `/api/staff/${staffId}`;
  switch (change.kind) {
    case 'change': {
      const { name, role } = change;
      return request(path, { method: 'PUT', body: { name, role }, revision, answer: staffMemberSchema });
    }
    case 'bench-time':
      return request(`${path}/bench-time`, { method: 'PUT', body: change.body, revision, answer: staffMemberSchema });
    case 'pin':
      return request(`${path}/pin`, { method: 'PUT', body: { pin: change.pin }, answer: null });
    default:
      return request(`${path}/${change.kind}`, { method: 'POST', body: {}, revision, answer: staffMemberSchema });
  }
}

/** A one-time code that makes a tablet one of the farm's. */
export function useNewEnrolment() {
  return useMutation({
    mutationFn: (name: string) =>
      request('/api/devices/enrolments', { method: 'POST', body: { name }, answer: enrolmentSchema }),
  });
}

export function useRevokeDevice() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (deviceId: string) => request(`/api/devices/${deviceId}`, { method: 'DELETE', answer: null }),
    onSuccess: () => askAnew(client, DEVICES),
  });
}
