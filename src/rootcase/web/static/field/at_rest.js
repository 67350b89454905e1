// What is no longer this person's job comes off the phone, and gate codes and contacts when their day is over; never
// what is unsent.

const SENT_STAYS_DAYS = 14; // JUDGEMENT: longer than between two backups, of which one may be brought back

/** start: what the server said last; day: the phone's own. */
export async function tidy(book, start, day) {
  const jobs = new Set((start.properties ?? []).map((each) => each.id));
  for (const ground of await book.grounds()) {
    const isJob = jobs.has(ground.id);
    const waits = !isJob && (await book.events(ground.id)).some((each) => each.waits || each.aside);
    const isOver = ground.stop_day && (!isJob || ground.stop_day < day);
    if (!isJob && !waits) await book.dropGround(ground.id);
    else if (isOver) await book.changeGround(ground.id, { gate: "", contacts: [], stop_day: null });
  }
  for (const property of await book.properties()) {
    if (!jobs.has(property)) await book.dropSent(property, SENT_STAYS_DAYS);
  }
}
