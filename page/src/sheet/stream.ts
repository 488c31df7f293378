// Who hears of what goes on: a room that follows something of its own hangs on to the one stream of events that the page has.

const hearers: ((events: EventSource) => void)[] = [];

/** onStream is called by a room when it is read, before the stream begins. */
export function onStream(hear: (events: EventSource) => void): void {
  hearers.push(hear);
}

/** begin lets all hear. */
export function begin(events: EventSource): void {
  for (const hear of hearers) hear(events);
}
