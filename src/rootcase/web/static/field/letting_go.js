// Letting go of what needs somebody: what the fieldbook keeps aside is let go there first, so that the desk asks no
// more either.

import { senderOf } from "./sending.js";

/** Whether it is let go. Of what no server has, this phone alone decides. */
export async function letGo(book, { id, hash, sent }, reason) {
  if (sent && !await letGoThere(await book.self(), { id, hash }, reason)) return false;
  await book.settle(id, { how: "let_go", reason });
  return true;
}

async function letGoThere({ phone, practice, person }, { id, hash }, reason) {
  const headers = { "Content-Type": "application/json", "Rootcase-Phone": phone, ...senderOf({ practice, person }) };
  const post = (address, told) =>
    fetch(address, { method: "POST", headers, body: JSON.stringify(told), redirect: "error" });
  try {
    const { aside } = await (await post("/api/events/held", { ids: [id] })).json();
    const those = aside.filter((each) => each.id === id && each.hash === hash && !each.settled);
    const answers = await Promise.all(those.map(({ mark }) => post(`/api/kept-aside/${mark}/let-go`, { reason })));
    return answers.every((each) => each.ok);
  } catch {
    return false;
  }
}
