// What is known of matter: the catalogue and the bench's own, and composites before they are written.
import { effect, signal } from "@preact/signals";
import { ask } from "../sheet/ask";
import type { Problem } from "../sheet/bench";
import { written } from "../sheet/edits";
import { name, tried } from "../sheet/state";

export type Point = [number, number];

export interface Property {
  name: string;
  unit: string;
  uncertainty?: number;
  from_degC?: number;
  to_degC?: number;
  points: Point[];
}

export interface Medium {
  name: string;
  kind: string;
  text: string;
  file?: string;
  path?: string;
  density_kg_per_m3: number;
  density_uncertainty?: number;
  latent_heat_J_per_kg?: number;
  latent_heat_uncertainty?: number;
  solidus_degC?: number;
  liquidus_degC?: number;
  emissivity?: number;
  service_limit_degC?: number;
  service_source?: string;
  tube_limit_degC?: number;
  oxidation_onset_degC?: number;
  holds_from_degC?: number;
  holds_to_degC?: number;
  low_degC: number;
  high_degC: number;
  properties: Property[];
  heat_content?: Point[];
  from_memory?: string[];
  sources: string[];
  notes?: string[];
}

export interface Composite {
  text: string;
  problems: Problem[];
  mixed?: Medium;
  plain?: Medium;
  mass_kg: [number, number];
  needed_degC: [number | null, number | null];
}

export const matter = signal<{ materials: Medium[]; rules: string[] }>({ materials: [], rules: [] });

let wanted = false;
async function load(): Promise<void> {
  const got = await tried(ask<{ materials: Medium[]; rules: string[] }>("materials", { run: name.value }));
  if (got) matter.value = got;
}

/** want reads the materials, and again whenever the page has written a file. */
export function want(): void {
  if (wanted) return;
  wanted = true;
  effect(() => {
    void written.value;
    if (name.value !== "") void load();
  });
}

export const compose = (q: Record<string, string | number>) => ask<Composite>("composite", { run: name.value, ...q });
