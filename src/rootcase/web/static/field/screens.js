// The screens, by the first part of an address such as #/tree/PROPERTY/TREE. Each module has `async show(main, args,
// field)`; `entry` pages stay light at dusk, `place` is the one of the five they belong to, `up` what the first name in
// the head leads to.

export const SCREENS = {
  today: { place: "today", load: () => import("./screen_today.js") },
  trees: { place: "trees", load: () => import("./screen_trees.js") },
  tree: { place: "trees", up: "property", load: () => import("./screen_tree.js") },
  look: { place: "trees", up: "tree", entry: true, load: () => import("./screen_look.js") },
  answer: { place: "trees", up: "tree", load: () => import("./screen_answer.js") },
  walk: { place: "trees", up: "tree", load: () => import("./screen_walk.js") },
  form: { place: "trees", up: "tree", entry: true, load: () => import("./screen_form.js") },
  pit: { place: "trees", up: "tree", entry: true, load: () => import("./screen_pit.js") },
  missing: { place: "trees", up: "tree", load: () => import("./screen_missing.js") },
  reading: { place: "trees", up: "property", load: () => import("./screen_reading.js") },
  yardstick: { place: "trees", up: "tree", entry: true, load: () => import("./screen_yardstick.js") },
  divide: { place: "trees", up: "tree", load: () => import("./screen_divide.js") },
  tools: { place: "trees", up: "tree", load: () => import("./screen_tools.js") },
  plans: { place: "plans", load: () => import("./screen_plans.js") },
  make: { place: "make", load: async () => (await import("./screen_later.js")).make },
  proof: { place: "proof", load: async () => (await import("./screen_later.js")).proof },
  phone: { load: () => import("./screen_phone.js") },
  job: { place: "plans", up: "property", load: () => import("./screen_job.js") },
  waiting: { load: () => import("./screen_waiting.js") },
  settings: { load: () => import("./screen_settings.js") },
};
