export type StaffRole = 'owner' | 'lead' | 'hand';

/** For whom and by whom something is done. Made by the session guard or from a parsed job payload, nowhere else. */
export interface GrowerContext {
  readonly growerId: string;
  /** Null when a job does it. */
  readonly staffId: string | null;
  /** Null when a job does it. */
  readonly role: StaffRole | null;
}
