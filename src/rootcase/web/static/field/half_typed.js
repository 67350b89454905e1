// The name of what is typed halfway: whose it is and of which day, so that nobody goes on where another left off.

export const halfName = (field, ...parts) => halfOf(field, field.day(), ...parts);

/** Of something of another day than the phone's: a round goes on past midnight. */
export const halfOf = ({ self, start }, day, ...parts) =>
  [self.practice ?? "", start.who?.code ?? "", day, ...parts].join("/");
