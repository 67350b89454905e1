// What is no longer this person's job comes off the phone, and gate codes and contacts when their day is over; never what is unsent.

/** start: what the server said last; day: the phone's own. */
export async function tidy(book, start, day) {
  const jobs = new Set((start.properties ?? []).map((each) => each.id));
  for (const ground of await book.grounds()) {
    const waits = (await book.events(ground.id)).some((each) => each.waits || each.aside);
    if (!jobs.has(ground.id) && !waits) await book.dropGround(ground.id);
    else if (ground.stop_day && ground.stop_day < day) await book.changeGround(ground.id, { gate: "", contacts: [], stop_day: null });
  }
}
