// A match's result, as its document has it.

export interface Match {
  name: string;
  parameters: { name: string; unit: string; shown: number; value: number; lower_95: number | null; upper_95: number | null; by_profile: boolean; at_bound: number }[];
  not_told_apart: { sentence: string }[];
  columns: { trial: string; column: string; unit: string; set_aside: boolean; bias: number; root_mean_square: number; worst: number; share_within_band: number }[];
  trust: { trial: string; phase: string; column: string; unit: string; E: number; u_val: number; within_2_u_val: boolean; worst: number; share_within_band: number; sentence: string }[];
  unfit: boolean;
  doubts: string[];
  verdict: string;
  envelope: Shown;
  notes: string[];
  cautions: string[];
  rows: number;
  runs: number;
  ended: string;
  converged: boolean;
  unfinished: boolean;
}

/** where it was shown; numbers in SI */
export interface Shown {
  trials: string[] | null;
  ranges: { name: string; unit: string; low: number; high: number }[] | null;
  states: string[] | null;
}
