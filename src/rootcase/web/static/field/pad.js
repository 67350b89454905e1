// The own number pad: digits, point, fraction, half, Not read, Next, and Save with its value and unit on the key.
//
// pad(host, {kind, system, label, onSave, onNext, between, top, ready, day, calibration, askFor}): kind is one of
// field.kinds. onSave gets {typed, value, sign, doubts} with the value in the kind's SI unit, or {nothing}. top: where
// what is typed is shown, where that is not host; between: nodes before the keys; ready(): what is missing for saving,
// in words, or nothing; askFor(): points at that; calibration: screen pixels a millimetre, where the person measured
// them. Returns {refresh, typed}.

import { announce, el, put, tell } from "./dom.js";
import { hold } from "./in_hand.js";
import { whyNotKept } from "./once.js";
import { nothingWords } from "./told.js";
import { Refused, readValue } from "./typed.js";
import { boxUnit, convert, number, otherUnit, unitLabel, withUnit } from "./units.js";
import { say } from "./words.js";

const MOST = 14, BUZZ_MS = 30;
// JUDGEMENT: the density phones lay their pixels out for; a bank card tells it better.
export const PX_PER_MM = 160 / 25.4;
const KEYS = ["1", "2", "3", "½", "erase", "4", "5", "6", "fraction", "point", "7", "8", "9", "0", "next"];
const MINUS = "\u2212";
const EIGHTHS = { 1: "⅛", 2: "¼", 3: "⅜", 4: "½", 5: "⅝", 6: "¾", 7: "⅞" };
const NO_EIGHTHS = ["8", "9", "0", "½", "point"];

export function pad(host, options) {
  const shown = {
    other: el("span", { class: "other" }), typed: el("output", { class: "typed" }), unit: el("span", { class: "unit" }),
  };
  const said = el("p", { class: "said", role: "status" });
  const bar = el("div", { class: "length" });
  const save = el("button", { type: "button", class: "weld save" });
  const state = { text: "", saving: false, eighths: false };
  const around = { ...options, state, shown, said, bar, save };
  const press = (key) => pressed(around, key);
  save.addEventListener("click", () => press("save"));
  // What can lie under zero has a sign where others have the half; the fraction key stays.
  const keys = KEYS.map((key) => keyOf(key === "½" && options.kind.lower_hard < 0 ? MINUS : key, press));
  around.keys = Object.fromEntries(KEYS.map((key, at) => [key, keys[at]]));
  const box = el("div", { class: "box", role: "group", "aria-label": options.label },
    shown.other, el("span", { class: "now" }, shown.typed, shown.unit));
  (options.top ?? host).append(box, said);
  host.append(bar, ...[options.between ?? []].flat(), el("div", { class: "pad" }, keys),
    el("div", { class: "last" }, keyOf("not_read", press, "unread"), save));
  byKeyboard(host, around);
  refresh(around);
  return { refresh: () => refresh(around), typed: () => state.text };
}

function keyOf(key, press, kind = "") {
  const isDigit = /^[\d½−]$/.test(key), words = isDigit ? key : wordsOn(key);
  return el("button", {
    type: "button", class: isDigit ? "digit" : `word ${key} ${kind}`,
    "aria-label": key === MINUS && say("field.pad.minus"), on: { click: () => press(key) },
  }, words);
}

const wordsOn = (key) => (key === "not_read" ? nothingWords("not read") : say(`field.pad.${key}`));

function byKeyboard(host, around) {
  const listen = (event) => {
    if (!host.isConnected && around.state.mounted) return document.removeEventListener("keydown", listen);
    around.state.mounted ||= host.isConnected;
    if (!host.isConnected || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.target.closest("input, textarea, select")) return;
    if (event.key === "Enter" && !event.target.closest("button, a")) pressed(around, "save");
    else if (event.key === "Backspace") pressed(around, "erase");
    else if (event.key === "Escape") history.back();
    else if (event.key === "-" && around.kind.lower_hard < 0) signed(around);
    else if (/^[\d.,/'"<>~ ]$/.test(event.key)) write(around, event.key);
    else return;
    event.preventDefault();
  };
  document.addEventListener("keydown", listen);
}

function pressed(around, key) {
  if (key === "save") return keep(around);
  if (key === "not_read") return keep(around, { nothing: "not read", typed: "not read" });
  if (key === "next") return around.onNext?.();
  if (key === "erase") {
    around.state.text = around.state.text.slice(0, -1).trimEnd();
    return refresh(around);
  }
  if (key === MINUS) return signed(around);
  if (key === "fraction") {
    around.state.eighths = !around.state.eighths;
    return refresh(around);
  }
  write(around, key === "point" ? "." : key);
}

function signed(around) {
  const { state } = around;
  state.text = state.text.startsWith(MINUS) ? state.text.slice(1) : `${MINUS}${state.text}`;
  refresh(around);
}

// Nothing stands behind a fraction.
function write(around, sign) {
  const { state } = around;
  const written = (state.eighths && EIGHTHS[sign]) || sign;
  state.eighths = false;
  if (state.text.length < MOST && !/[⅛-⅞¼-¾]$/.test(state.text)) state.text += written;
  refresh(around);
}

const asWritten = (text) => text.replace(/(\d)([⅛-⅞¼-¾])$/, "$1 $2");

function readNow({ state, kind, system, day }) {
  if (!state.text || state.text === MINUS) return { found: null, wrong: "" };
  try {
    return { found: readValue(kind, asWritten(state.text), system, day), wrong: "" };
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    return { found: null, wrong: error.message };
  }
}

function refresh(around) {
  const { state, kind, system, shown, said, bar, save, ready, calibration } = around;
  const { found, wrong } = readNow(around);
  const label = unitLabel(boxUnit(kind, system));
  drawKeys(around);
  put(shown.typed, asWritten(state.text));
  hold(shown.typed, Boolean(state.text));
  put(shown.unit, label);
  put(shown.other, found?.value == null ? "" : otherTold(kind, found.value, system));
  put(said, wrong || found?.said || found?.doubts?.[0] || "");
  said.classList.toggle("doubt", Boolean(wrong || found?.doubts?.length));
  trueSize(bar, kind, found?.value, calibration);
  const missing = ready?.() ?? "";
  save.classList.toggle("wanting", !found || Boolean(missing));
  const value = `${asWritten(state.text)} ${label}`.trim();
  const words = state.text ? say("field.pad.save", { value }) : say("field.pad.save_key");
  put(save, (found && missing) || words);
}

function drawKeys({ state, keys }) {
  for (const [key, eighth] of Object.entries(EIGHTHS)) put(keys[key], state.eighths ? eighth : key);
  for (const key of NO_EIGHTHS) keys[key].disabled = state.eighths;
  keys.fraction.setAttribute("aria-pressed", state.eighths);
}

function otherTold(kind, value, system) {
  const [unit, other] = [boxUnit(kind, system), otherUnit(kind, system)];
  return unit === other ? "" : withUnit(number(convert(value, kind.si_unit, other)), other);
}

// A length up to the width of the screen is drawn at its true size, so that it can be held against the glass.
function trueSize(bar, kind, value, calibration = PX_PER_MM) {
  const mm = ["mm", "m", "cm"].includes(kind.si_unit) && value ? convert(value, kind.si_unit, "mm") : 0;
  const px = mm * calibration;
  const fits = px > 0 && px <= innerWidth - 32;
  const size = { width: Math.max(px, 1), height: 12 };
  put(bar, fits ? el("svg", { ...size, role: "img", "aria-label": say("field.pad.true_size") },
    el("rect", { ...size, width: "100%" })) : "");
}

async function keep(around, given = null) {
  const { state, kind, ready, onSave, said, save } = around;
  const { found, wrong } = given ? { found: given } : readNow(around);
  const missing = given ? "" : ready?.();
  if (state.saving) return;
  if (!found || missing) {
    announce(found ? missing : wrong || say("field.pad.nothing"));
    if (found) around.askFor?.();
    else put(said, wrong || say("field.pad.nothing"));
    return;
  }
  state.saving = true;
  save.disabled = true;
  try {
    await onSave(found);
    state.text = "";
    navigator.vibrate?.(BUZZ_MS);
    refresh(around);
  } catch (error) {
    tell(said, whyNotKept(error));
    said.classList.add("doubt");
  } finally {
    state.saving = false;
    save.disabled = false;
  }
}
