"use strict";
// Follows a sheet: shows one step large, keeps marks and found sizes, works out what follows them.
(function () {
  const data = JSON.parse(document.getElementById("data").textContent);
  const at = (id) => document.getElementById(id);
  const steps = Array.from(document.querySelectorAll("li.step"));
  const last = steps.length;
  const card = (number) => steps[number - 1];
  const store = "pathgen " + data.key;
  const fill = (words, said) => words.replace(/\{(\w+)\}/g, (_, name) => said[name]);

  // ------------------------------------------------------------------ what is kept

  const kept = { part: data.part, done: [], found: {} };

  function notice(words) {
    const line = document.createElement("p");
    const button = document.createElement("button");
    line.className = "notice";
    line.setAttribute("role", "status");
    line.textContent = words + " ";
    button.type = "button";
    button.textContent = "Understood";
    button.addEventListener("click", () => line.remove());
    line.append(button);
    at("notices").append(line);
  }

  function keep() {
    try {
      localStorage.setItem(store, JSON.stringify(kept));
    } catch (error) {
      if (!keep.told) notice("This browser keeps no marks: they are lost when the page is closed.");
      keep.told = true;
    }
  }

  function recall() {
    let others = 0;
    try {
      const text = localStorage.getItem(store);
      const old = text ? JSON.parse(text) : {};
      if (Array.isArray(old.done)) kept.done = old.done.filter((n) => n >= 1 && n <= last);
      for (const name of Object.keys(old.found || {})) take(name, String(old.found[name]));
      for (let i = 0; !text && i < localStorage.length; i += 1) {
        const key = localStorage.key(i);
        if (!key.startsWith("pathgen ")) continue;
        const other = JSON.parse(localStorage.getItem(key));
        if (String(other.part) === String(data.part) && other.done.length) others = other.done.length;
      }
    } catch (error) {
      notice("Marks of before could not be read; this page starts without them.");
    }
    if (others) {
      notice("This sheet has changed since it was followed here: " + others + " steps of the other" +
        " one are marked done. None of those marks holds for this one, which starts from nothing.");
    }
  }

  // ------------------------------------------------------------------ lengths and dials

  const NUMBER = /^([+-]?) *(?:(?:(\d+) +)?(\d+) *\/ *(\d+)|(\d+\.?\d*|\.\d+)) *([^\d\s]*)$/;
  const MOST_DIGITS = 10;  // so that a quotient of whole numbers stays exact

  function parsed(text) {
    const found = NUMBER.exec(text.trim().replace(/\s+/g, " "));
    if (!found) return null;
    const [, sign, whole, top, bottom, decimal, said] = found;
    let unit = said.replace(/\.$/, "");
    if (unit.length > 1) unit = unit.toLowerCase();
    if (unit && !(unit in data.lengths)) return null;
    if (bottom && !unit && data.units === "mm") return null;
    if (bottom && (Number(bottom) === 0 || (whole && Number(top) >= Number(bottom)))) return null;
    let over = 1;
    let under = 1;
    if (bottom) {
      over = Number(whole || 0) * Number(bottom) + Number(top);
      under = Number(bottom);
    } else {
      const [before, after] = (decimal + ".").split(".");
      if (before.length + after.length > MOST_DIGITS) return null;
      over = Number(before + after);
      under = 10 ** after.length;
    }
    return { over: sign === "-" ? -over : over, under, unit };
  }

  function inMm(number, unit) {
    const [over, under] = data.lengths[unit];
    return (number.over * over) / (number.under * under);
  }

  const fixed = (value, decimals) => {
    const text = value.toFixed(decimals);
    return Number(text) === 0 ? text.replace("-", "") : text;
  };
  const inch = () => data.lengths.in[0] / data.lengths.in[1];
  const size = (mm, units) =>
    units === "in" ? fixed(mm / inch(), 4) + " in" : fixed(mm, 3) + " mm";
  const mod = (n, m) => ((n % m) + m) % m;
  const figure = (dial, counts) => fixed(counts * dial.shown, dial.decimals);
  const rest = (dial, counts) => dial.turn ? mod(counts, dial.turn) : counts;
  const total = (dial, counts) => dial.turn
    ? Math.floor(counts / dial.turn) + " t " + figure(dial, rest(dial, counts)) : figure(dial, counts);
  const dialOf = (wind) => wind.own || data.dials[wind.slide];
  const ordinal = (n) => {
    const end = [11, 12, 13].includes(n % 100) ? 0 : n % 10;
    return n + ({ 1: "st", 2: "nd", 3: "rd" }[end] || "th");
  };

  // ------------------------------------------------------------------ what is found

  const askedBy = {};
  for (const [number, asked] of Object.entries(data.asked)) {
    askedBy[asked.name] = Object.assign({ number: Number(number) }, asked);
  }
  const found = {};  // mm, by name

  function shown(asked, value) {
    return asked.slide
      ? total(data.dials[asked.slide], Math.round(value / data.dials[asked.slide].count))
      : size(value, asked.units);
  }

  function otherUnit(number, asked, value) {
    if (asked.low <= 0) return "";
    const unit = number.unit || asked.units;
    const other = data.others.find((each) => {
      const meant = inMm(number, each);
      return each !== unit && meant >= asked.low && meant <= asked.high;
    });
    return other && fill(data.reasons.unit, {
      found: size(value, asked.units), unit: other, other: size(inMm(number, other), asked.units),
    });
  }

  function outside(asked, value) {
    return fill(value < asked.low ? data.reasons.below : data.reasons.above, {
      found: shown(asked, value), low: shown(asked, asked.low), high: shown(asked, asked.high),
      advice: asked.advice || data.advice,
    });
  }

  function judge(asked, text) {
    if (asked.slide) {
      const dial = data.dials[asked.slide];
      const form = !dial.turn ? /^()([+-]?\d+(?:\.\d*)?)(?: *(?:mm|in))?$/i
        : /^([+-]?\d+) *(?:t|,| ) *(\d+(?:\.\d*)?)$/i;
      const said = form.exec(text.trim().replace(/\s+/g, " "));
      if (!said || (dial.turn && Number(said[2]) >= dial.divisions)) {
        return { reason: fill(dial.turn ? data.reasons.no_total : data.reasons.no_figure,
          { text: text.trim() || "nothing", right: shown(asked, asked.expected) }) };
      }
      const turns = Number(said[1]) * dial.turn;
      const value = (turns + Math.round(Number(said[2]) / dial.shown)) * dial.count;
      return value >= asked.low && value <= asked.high ? { value } : { reason: outside(asked, value) };
    }
    const number = parsed(text);
    if (!number) return { reason: fill(data.reasons.unread, { text: text.trim() || "nothing", right: data.right }) };
    const value = inMm(number, number.unit || asked.units);
    if (value >= asked.low && value <= asked.high) return { value };
    return { reason: otherUnit(number, asked, value) || outside(asked, value) };
  }

  // Takes what was typed; returns why it is refused, empty if it is not.
  function take(name, text) {
    const asked = askedBy[name];
    if (!asked) return "";
    const judged = judge(asked, text);
    const answer = card(asked.number).querySelector(".answer");
    if (judged.reason) {
      delete found[name];
      delete kept.found[name];
    } else {
      found[name] = judged.value;
      kept.found[name] = text;
    }
    answer.textContent = judged.reason || name + " found: " + shown(asked, judged.value);
    answer.classList.toggle("refused", Boolean(judged.reason));
    for (const number of Object.keys(data.winds)) follow(Number(number));
    return judged.reason || "";
  }

  const countsOff = (rule, off) => "count" in rule ? -off / rule.count : rule.per_mm * off;

  function stopOf(wind) {
    const stop = { reading: wind.reading, passes: wind.passes, place: wind.place };
    const value = found[wind.measure];
    if (!wind.measure || value === undefined) return stop;
    if (wind.rule) {
      const off = value - wind.rule.expected;
      stop.reading = Math.floor(wind.rule.base + countsOff(wind.rule, off) + 0.5);
      if (wind.moves) stop.place = wind.place + wind.rule.factor * off;
    }
    for (const [from, passes] of wind.from) if (value >= from) stop.passes = passes;
    return stop;
  }

  function wayThere(wind, stop, open) {
    if (!wind.way) return wind.own ? data.words.out : data.words.set;
    if (!dialOf(wind).turn) return data.words.until;
    if (rest(dialOf(wind), stop.reading) === 0 && stop.passes > 0 && !open) return fill(data.words.on_zero, { ordinal: ordinal(stop.passes) });
    const key = { 0: "none", 1: "once" }[stop.passes] || "more";
    return fill(data.words[key], { times: stop.passes });
  }

  function sumWords(wind, stop) {
    const asked = askedBy[wind.measure];
    const value = found[wind.measure];
    const dial = dialOf(wind);
    const said = { name: asked.name, found: shown(asked, value), expected: shown(asked, asked.expected) };
    if (!wind.rule) return fill(data.words.count, said);
    const start = (wind.rule.base - (stop.reading - rest(dial, stop.reading))) * dial.shown;
    const parts = countsOff(wind.rule, value - wind.rule.expected) * dial.shown;
    const most = data.sum_decimals[dial.unit];
    return fill(data.words.sum, Object.assign(said, {
      start: fixed(start, most), sign: parts < 0 ? "-" : "+", parts: fixed(Math.abs(parts), most),
      result: fixed(start + parts, most), unit: dial.unit, least: figure(dial, 1),
      whole: total(dial, stop.reading),
    }));
  }

  // Shows where a wind stops that follows a found value; what is not found is left open.
  function follow(number) {
    const wind = data.winds[number];
    if (!wind.measure) return;
    const known = found[wind.measure] !== undefined;
    const stop = stopOf(wind);
    const dial = dialOf(wind);
    const put = (kind, words) => { card(number).querySelector("." + kind).textContent = words; };
    const open = !known && wind.rule;
    put("passes", !known && wind.from.length && dial.turn
      ? fill(data.words.open, { name: wind.measure }) : wayThere(wind, stop, open));
    put("figure", open ? "____" : figure(dial, rest(dial, stop.reading)));
    put("total", open ? fill(data.words.follows, { name: wind.measure, number: askedBy[wind.measure].number }) : dial.turn ? "total " + total(dial, stop.reading) : wind.own ? "divisions" : "");
    const scale = (dial.units === "in" ? 1 / inch() : 1) * (dial.diameter_reading ? 2 : 1);
    put("place", !open && stop.place !== undefined ? (dial.diameter_reading ? "diameter" : dial.axis) + " " + fixed(stop.place * scale, dial.places) + " " + dial.units : "");
    let sum = card(number).querySelector(".sum");
    if (!sum) {
      sum = document.createElement("p");
      sum.className = "sum screen";
      card(number).querySelector(".do").append(sum);
    }
    sum.textContent = known ? sumWords(wind, stop) : "";
  }

  // ------------------------------------------------------------------ the drawn dial

  const SVG = "http://www.w3.org/2000/svg";
  function make(kind, said, words) {
    const element = document.createElementNS(SVG, kind);
    for (const [name, value] of Object.entries(said)) element.setAttribute(name, value);
    if (words !== undefined) element.textContent = words;
    return element;
  }

  // As seen from in front of the handle: winding takes the ring past the index line at the top.
  function drawDial(dial, counts, way) {
    const picture = make("svg", { viewBox: "0 0 240 300", class: "dial", role: "img",
      "aria-label": "the dial at its stop: " + figure(dial, counts) });
    const side = dial.rising === "clockwise" ? -1 : 1;
    const value = counts * dial.judged;
    const place = (division, radius) => {
      const turn = (side * (division - value) * 2 * Math.PI) / dial.divisions;
      return [120 + radius * Math.sin(turn), 122 - radius * Math.cos(turn)];
    };
    picture.append(make("circle", { cx: 120, cy: 122, r: 108, class: "rim" }));
    const lines = [];
    const labelled = dial.divisions > 120 ? 20 : 10;
    for (let division = 0; division < dial.divisions; division += 1) {
      const inner = division % 10 === 0 ? 90 : division % 5 === 0 ? 96 : 101;
      lines.push("M" + place(division, inner).join(" ") + "L" + place(division, 107).join(" "));
      if (division % labelled === 0) {
        const [x, y] = place(division, 78);
        picture.append(make("text", { x, y: y + 4 }, String(division)));
      }
    }
    picture.append(make("path", { d: lines.join(""), class: "lines" }));
    picture.append(make("path", { d: "M120 0L111 -0.1L120 16L129 -0.1Z M120 14V36", class: "index" }));
    picture.append(make("use", { href: "#" + way, x: 84, y: 86, width: 72, height: 72, class: "turn" }));
    // What lies about the index line, larger.
    picture.append(make("rect", { x: 12, y: 246, width: 216, height: 50, class: "rim" }));
    for (let division = Math.ceil(value - 3.9); division <= value + 3.9; division += 1) {
      const x = 120 + side * (division - value) * 27;
      const written = mod(division, dial.divisions);
      picture.append(make("path", { d: "M" + x + " 246v" + (division % 5 === 0 ? 20 : 13), class: "lines" }));
      if (Math.abs(division - value) < 3.5) picture.append(make("text", { x, y: 288 }, String(written)));
    }
    picture.append(make("path", { d: "M120 231L112 244H128Z M120 244V273", class: "index" }));
    return picture;
  }

  // ------------------------------------------------------------------ where the work stands

  let now = 1;  // the step that is shown large
  let look = "one";
  const isDone = (number) => kept.done.includes(number);
  function due() {
    for (let number = 1; number <= last; number += 1) if (!isDone(number)) return number;
    return last + 1;
  }

  // Returns why a step cannot be marked done yet, empty if it can.
  function hindrance(number) {
    const asked = data.asked[number];
    if (asked && found[asked.name] === undefined) return "first write down what " + asked.name + " was found to be";
    const wind = data.winds[number];
    if (wind && wind.measure && found[wind.measure] === undefined) {
      return "it follows " + wind.measure + ", which is found in step " + askedBy[wind.measure].number;
    }
    return "";
  }

  function mark(number) {
    const why = hindrance(number);
    if (why) { tell("Step " + number + " is not done: " + why + "."); return false; }
    if (!isDone(number)) kept.done.push(number);
    keep();
    return true;
  }

  function done() {
    stayAwake();
    if (now > last) return;
    if (now !== due()) { show(Math.min(due(), last)); return; }
    if (mark(now)) show(Math.min(due(), last));
  }

  function undo() {
    const number = kept.done.pop();
    if (number === undefined) return;
    keep();
    show(number);
  }

  function tell(words) { at("count").textContent = words; }

  function show(number) {
    now = Math.min(Math.max(number, 1), last);
    const work = due();
    steps.forEach((step, index) => {
      const each = index + 1;
      step.classList.toggle("done", isDone(each));
      step.classList.toggle("now", each === now);
      step.classList.toggle("near", Math.abs(each - now) === 1);
      step.classList.toggle("due", each === work);
      if (each === now) step.setAttribute("aria-current", "step");
      else step.removeAttribute("aria-current");
      step.querySelector("input[type=checkbox]").checked = isDone(each);
    });
    for (const pass of document.querySelectorAll(".pass")) {
      pass.classList.toggle("now", pass.contains(card(now)));
      pass.classList.toggle("near", Boolean(pass.querySelector(".near")));
    }
    const open = Array.from(at("jump").options).filter((option) => Number(option.value) <= now);
    at("jump").value = open.length ? open[open.length - 1].value : "1";
    tell(kept.done.length >= last ? "All " + last + " steps are done." :
      "Step " + now + " of " + last + "; " + kept.done.length + " done" +
      (now === work ? "" : ". You are looking about: the work stands at step " + work));
    at("done").textContent = now === work || work > last ? "Done" : "Back to step " + work;
    at("undo").disabled = kept.done.length === 0;
    document.querySelectorAll("svg.dial").forEach((old) => old.remove());
    const wind = data.winds[now];
    const known = wind && !(wind.measure && wind.rule && found[wind.measure] === undefined);
    if (known && wind.way && dialOf(wind).turn) {
      const dial = dialOf(wind);
      card(now).querySelector(".do").append(drawDial(dial, rest(dial, stopOf(wind).reading), wind.way));
    }
    if (look === "one") window.scrollTo({ top: 0 });
    chart();
  }

  // ------------------------------------------------------------------ the picture beside it

  const picture = document.querySelector(".chart svg");
  const AXES = ["x", "y", "z"];
  const views = picture ? Array.from(picture.querySelectorAll("g[data-axes]"), (group) => {
    const tool = group.querySelector(".tool");
    const aim = tool.cloneNode(true);
    aim.setAttribute("class", "aim");
    tool.before(aim);
    return {
      tool, aim, scale: Number(group.dataset.scale), zero: group.dataset.zero.split(" ").map(Number),
      axes: group.dataset.axes.split(" ").map((axis) => AXES.indexOf(axis)),
    };
  }) : [];

  function standAfter(number) {
    for (let each = number; each >= 1; each -= 1) if (data.stands[each]) return data.stands[each];
    return [null, null, null, 0];
  }

  function place(tool, view, stand) {
    const [wide, high] = view.axes.map((axis) => stand[axis]);
    const known = wide !== null && high !== null;
    tool.style.display = known ? "" : "none";
    if (!known) return;
    const across = view.zero[0] + wide * view.scale;
    const up = view.zero[1] - high * view.scale;
    const half = Math.max((stand[3] / 2) * view.scale, 1.5);
    tool.setAttribute("transform", "translate(" + across + " " + up + ")");
    const mark = tool.firstElementChild;
    if (mark.tagName === "circle") mark.setAttribute("r", half);
    else { mark.setAttribute("x", -half); mark.setAttribute("width", 2 * half); }
  }

  function chart() {
    if (!picture) return;
    for (const cut of picture.querySelectorAll("[data-number]")) {
      const number = Number(cut.dataset.number);
      cut.classList.toggle("gone", number < now);
      cut.classList.toggle("now", number === now);
    }
    const before = standAfter(now - 1);
    const after = standAfter(now);
    for (const view of views) {
      place(view.tool, view, before);
      place(view.aim, view, after);
    }
    const dials = Object.values(data.dials);
    const said = AXES.filter((axis) => !dials.length || dials.some((dial) => dial.axis === axis)).map((axis) => {
      const value = before[AXES.indexOf(axis)];
      const doubled = dials.some((dial) => dial.axis === axis && dial.diameter_reading);
      const words = value === null ? "not known yet" : size(doubled ? 2 * value : value, data.units);
      return (doubled ? "diameter " : axis + " ") + words;
    });
    at("place").textContent = "Before this step: " + said.join(", ");
  }

  // ------------------------------------------------------------------ hands, keys, fingers

  function setLook(wanted) {
    look = wanted;
    document.body.dataset.look = wanted;
    at("look-one").setAttribute("aria-pressed", String(wanted === "one"));
    at("look-list").setAttribute("aria-pressed", String(wanted === "list"));
    if (wanted === "list") card(now).scrollIntoView({ block: "center" });
  }

  async function stayAwake() {
    if (!("wakeLock" in navigator) || document.visibilityState !== "visible" || stayAwake.lock) return;
    try {
      stayAwake.lock = await navigator.wakeLock.request("screen");
      stayAwake.lock.addEventListener("release", () => { stayAwake.lock = null; });
      at("awake").textContent = "The screen stays on.";
    } catch (error) {
      at("awake").textContent = "This browser lets the screen go dark: set the device to stay on.";
    }
  }

  document.addEventListener("visibilitychange", () => { if (kept.done.length) stayAwake(); });
  document.addEventListener("keydown", (event) => {
    const place = event.target.closest("input[name], select, button, a, summary");
    if (place || event.ctrlKey || event.metaKey || event.altKey) return;
    const doing = {
      Enter: done, u: undo, U: undo, l: () => setLook(look === "one" ? "list" : "one"),
      ArrowDown: () => show(now + 1), ArrowRight: () => show(now + 1),
      ArrowUp: () => show(now - 1), ArrowLeft: () => show(now - 1),
    }[event.key];
    if (!doing || (look === "list" && event.key.startsWith("Arrow"))) return;
    event.preventDefault();
    doing();
  });

  let touched = null;
  at("steps").addEventListener("touchstart", (event) => { touched = event.changedTouches[0]; }, { passive: true });
  at("steps").addEventListener("touchend", (event) => {
    if (!touched || look !== "one") return;
    const across = event.changedTouches[0].clientX - touched.clientX;
    const along = event.changedTouches[0].clientY - touched.clientY;
    if (Math.abs(across) > 60 && Math.abs(across) > 2 * Math.abs(along)) show(now + (across < 0 ? 1 : -1));
  }, { passive: true });

  at("done").addEventListener("click", done);
  at("undo").addEventListener("click", undo);
  at("back").addEventListener("click", () => show(now - 1));
  at("on").addEventListener("click", () => show(now + 1));
  at("look-one").addEventListener("click", () => setLook("one"));
  at("look-list").addEventListener("click", () => setLook("list"));
  at("jump").addEventListener("change", () => {
    show(Number(at("jump").value));
    if (look === "list") card(now).scrollIntoView({ block: "start" });
  });
  steps.forEach((step, index) => {
    const number = index + 1;
    const box = step.querySelector("input[type=checkbox]");
    box.addEventListener("change", () => {
      if (box.checked) mark(number);
      else kept.done = kept.done.filter((each) => each !== number);
      const why = box.checked && hindrance(number);
      keep();
      show(number);
      if (why) tell("Step " + number + " is not done: " + why + ".");
    });
    const form = step.querySelector("form.ask");
    if (!form) return;
    form.hidden = false;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const { turns, figure: stop, size: typed } = form.elements;
      take(data.asked[number].name, turns ? turns.value.trim() + " t " + stop.value.trim() : typed.value);
      keep();
      show(now);
    });
    form.addEventListener("keydown", (event) => event.stopPropagation());
  });

  recall();
  for (const number of Object.keys(data.winds)) follow(Number(number));
  document.querySelector("nav").hidden = false;
  at("keys").hidden = false;
  setLook("one");
  show(Math.min(due(), last));
})();
