// Where a study stands, and what can be done about it: run it, stop it, go on with it, answer what it asks.
import { Findings } from "../sheet/findings";
import { goesOn, type Job, startJob, stopJob } from "../sheet/jobs";
import { fixed, span } from "../sheet/numbers";
import { tried } from "../sheet/state";
import type { Told } from "./studies";

/** far says how far a study has got, in words. */
export function far(j: Job): string {
  if (j.state === "waiting") return "waits for what is being computed";
  if (j.total === 0) return "begins with one variant, which tells how long the others take";
  const parts = [`${fixed(j.done, 0)} of ${fixed(j.total, 0)} done`];
  if (j.known > 0) parts.push(`${fixed(j.known, 0)} of them known`);
  if (j.failed > 0) parts.push(`${fixed(j.failed, 0)} failed`);
  if (j.running > 0) parts.push(`${fixed(j.running, 0)} running`);
  if (j.left_s > 0) parts.push(`about ${span(j.left_s)} left`);
  return parts.join(", ") + (j.best !== undefined && j.best !== "" ? `; so far ${j.best}` : "");
}

interface Props {
  study: Told;
  job: Job | undefined;
  /** results are there, and these of the files behind them have changed since */
  changed: string[] | null;
}

export function Standing({ study, job, changed }: Props) {
  const start = (yes: boolean) => void tried(startJob("study", study.name, yes));
  const stop = () => void tried(stopJob(study.name));
  const runs = study.kind === "search" ? `up to ${fixed(study.count, 0)} variants` : `${fixed(study.count, 0)} variants`;
  if (goesOn(job)) {
    return (
      <div class="standing">
        <p class="verbs">
          <button onClick={stop}>stop</button>
          <span class="small">what is done is kept</span>
        </p>
        {job!.estimate !== undefined && <p class="small">{job!.estimate}</p>}
      </div>
    );
  }
  if (job?.state === "asking") {
    return (
      <div class="standing">
        <p>{job.message}. Go on?</p>
        <p class="verbs">
          <button onClick={() => start(true)}>go on</button>
          <span class="small">the first is kept; nothing else is computed until then</span>
        </p>
      </div>
    );
  }
  const whole = changed !== null;
  const label = job?.state === "stopped" ? "go on" : whole ? "compute again" : `run these ${runs}`;
  return (
    <div class="standing">
      {job?.state === "stopped" && (
        <p role="status">
          Stopped at {fixed(job.done, 0)} of {fixed(job.total, 0)}. What is done is kept.
        </p>
      )}
      {(job?.state === "failed" || job?.state === "mistaken") && (
        <p class="mistake" role="alert">
          {job.message}
          {job.fix !== undefined && <span class="hint"> To mend it: {job.fix}.</span>}
        </p>
      )}
      {job?.state === "mistaken" && study.problems.length === 0 && <Findings problems={job.problems} />}
      {whole && changed.length > 0 && <p role="note">Changed since: {changed.join(", ")}. The verdict is that of the files as they were.</p>}
      {study.mistakes === 0 && (
        <p class="verbs">
          <button onClick={() => start(false)}>{label}</button>
          <span class="small">{whole ? `${runs}; what is known is not computed twice` : "the first tells how long the others take and what they need on the disk"}</span>
        </p>
      )}
    </div>
  );
}
