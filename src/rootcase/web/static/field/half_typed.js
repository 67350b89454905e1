// The name of what is typed halfway: whose it is and of which day, so that nobody goes on where another left off.

export const halfName = ({ self, start, day }, ...parts) =>
  [self.practice ?? "", start.who?.code ?? "", day(), ...parts].join("/");
