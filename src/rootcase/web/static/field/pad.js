// The own number pad: digits, point, fraction, half, Not read, Save with its value and unit, Next.
//
// pad(host, {kind, system, label, onSave, onNext, between, ready}): kind is one of field.kinds; onSave gets
// {typed, value, sign, doubts} with the value in the kind's SI unit, or {nothing}; between is a node that stands
// between what is typed and the keys; ready() says why it cannot be saved yet, or nothing.
// It returns {clear(), refresh(), typed()}.

export function pad(host, { kind, system, label, onSave, onNext, between = null, ready = () => "" }) {
  throw new Error("not yet");
}
