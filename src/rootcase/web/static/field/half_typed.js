// The name of what is typed halfway: whose it is and of which day, so that nobody goes on where another left off.

export const halfName = (field, ...parts) => [field.self.practice ?? "", field.start.who?.code ?? "", field.day(), ...parts].join("/");
