// The live hour: the clock, the keys, and presses that wait in this browser while the workbench does not answer.
(() => {
  "use strict";
  const air = document.getElementById("air");
  if (!air) return;
  const by = (id) => document.getElementById(id);
  const day = air.dataset.day, total = Number(air.dataset.minutes) * 60, reserve = Number(air.dataset.reserve) * 60;
  const token = () => document.querySelector("input[name=csrf]").value;
  const now = () => Date.now() / 1000;
  const MORE = 15, AGAIN = 2000, GLANCE = 15; // seconds between looks, milliseconds until the next try, seconds that count
  const store = `air-${day}`;
  let state = JSON.parse(air.dataset.state);
  let hour = JSON.parse(state.hour);
  let aired = Boolean(air.dataset.aired);

  // Presses not yet written, kept in this browser.
  const waiting = () => { try { return JSON.parse(localStorage.getItem(store) || "[]"); } catch { return memory; } };
  let memory = [];
  const keep = (list) => { memory = list; try { localStorage.setItem(store, JSON.stringify(list)); } catch { /* private window */ } };

  // The same step as the server's, so that the page goes on without it.
  const spentOn = (place, at) => (hour.spent[place] || 0) + (hour.begun && hour.at === place ? Math.max(0, at - hour.since) : 0);
  const turn = (place, at) => {
    if (hour.begun) hour.spent[hour.at] = spentOn(hour.at, at);
    else hour.begun = at;
    hour.at = place; hour.since = at;
  };
  const following = () => {
    const rest = hour.at === "live" ? state.places.slice(1, -1) : state.places.slice(state.places.indexOf(hour.at) + 1);
    const through = (place) => hour.notes[place] || (/^\d+$/.test(place) && (hour.spent[place] || 0) > GLANCE);
    return rest.find((place) => place !== hour.at && !through(place)) || "closing";
  };
  const step = (press) => {
    if (hour.seen.includes(press.id)) return;
    hour.seen.push(press.id);
    if (press.kind === "begin" && !hour.begun) { hour.begun = hour.since = press.now; hour.at = "opening"; }
    else if (press.kind === "turn" && state.places.includes(press.place)) turn(press.place, press.now);
    else if (press.kind === "note" && /^\d+$/.test(press.place)) {
      hour.notes[press.place] = { how: press.how, text: press.text || "" };
      if (press.place === hour.at) turn(following(), press.now);
    } else if (press.kind === "ask") { hour.asked.push(press.text); turn("live", press.now); }
  };

  const take = (fresh) => {
    state = fresh; hour = JSON.parse(fresh.hour);
    waiting().forEach(step);
    draw();
    if (!fresh.places.every((place) => by(`item-${place}`))) window.location.reload();
  };

  let sending = false, stale = false;
  const flush = async () => {
    if (sending) return;
    sending = true;
    try {
      for (let list = waiting(); list.length; list = waiting()) {
        const reply = await post(list[0].kind === "ask" ? "ask" : "press", list[0]);
        if (reply.status >= 500) throw new Error(String(reply.status));
        if (reply.ok && list[0].kind !== "ask") state = await reply.json();
        if (reply.ok && list[0].kind === "ask") { heard(await reply.text()); stale = true; }
        if (!reply.ok) trouble(reply.status);
        keep(waiting().slice(1));
        if (!waiting().length && reply.ok && list[0].kind !== "ask") take(state);
      }
      told("");
      if (stale) { stale = false; look(); }
    } catch {
      told(`The workbench does not answer. ${waiting().length} pressed here are kept and written when it does; the sheet goes on.`);
      setTimeout(flush, AGAIN);
    } finally { sending = false; }
  };
  const post = (path, fields) => {
    const body = new URLSearchParams({ ...fields, clock: now(), script: "1" });
    return fetch(`/air/${day}/${path}`, { method: "POST", body, headers: { "X-CSRF": token() } });
  };
  const told = (words) => { by("air-kept").textContent = words; by("air-kept").hidden = !words; };
  const trouble = (status) => told(`That was not taken (${status}). Open the page again.`);

  const press = (kind, more = {}) => {
    if (aired) return;
    const one = { id: `${now()}-${Math.random().toString(36).slice(2)}`, kind, now: now(), ...more };
    keep([...waiting(), one]);
    step(one);
    draw();
    flush();
  };

  // What is seen.
  const clock = (seconds) => {
    const whole = Math.round(Math.abs(seconds));
    return `${seconds < -0.5 ? "-" : ""}${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
  };
  const name = (place) => { const at = by(`item-${place}`); return at ? `${at.dataset.mark} ${at.dataset.title}`.trim() : ""; };
  const WORDS = { said: "said", changed: "said otherwise", postponed: "put off", asked_back: "asked back" };
  const draw = () => {
    document.querySelectorAll(".air-item").forEach((one) => { one.hidden = one.dataset.place !== hour.at; });
    document.querySelectorAll("[data-turn]").forEach((one) => {
      if (one.dataset.turn === hour.at) one.setAttribute("aria-current", "step"); else one.removeAttribute("aria-current");
    });
    document.querySelectorAll("[data-noted]").forEach((one) => { const noted = hour.notes[one.dataset.noted]; one.textContent = noted ? WORDS[noted.how] : ""; });
    by("air-live").hidden = hour.at !== "live";
    if (by("air-place")) by("air-place").value = hour.at;
    if (by("air-begin")) by("air-begin").hidden = Boolean(hour.begun);
    const advice = by("air-advice");
    advice.textContent = state.says;
    advice.className = `air-advice${state.drop.length ? " act-on" : state.add ? " room" : ""}`;
    tick();
  };
  const tick = () => {
    const at = now(), item = by(`item-${hour.at}`), planned = item ? Number(item.dataset.seconds) : 0;
    const left = hour.begun ? total - (at - hour.begun) : total, spent = spentOn(hour.at, at);
    by("air-left").textContent = clock(left);
    by("air-left").parentElement.classList.toggle("over", left < 0);
    by("air-now").textContent = hour.begun ? `now: ${name(hour.at)}` : "not begun";
    by("air-spent").textContent = `${clock(spent)} of ${clock(hour.at === "live" ? reserve : planned)}`;
    by("air-bar").value = planned ? Math.min(100, 100 * spent / planned) : 0;
    by("air-next").textContent = hour.at === "closing" ? "the end" : name(following());
  };
  const heard = (html) => {
    const made = new DOMParser().parseFromString(html, "text/html").getElementById("air-heard");
    by("air-live").replaceChildren(made);
    by("air-live").hidden = false;
    made.focus(); made.scrollIntoView({ block: "nearest" });
  };
  const look = async () => {
    if (!hour.begun || aired || waiting().length) return;
    try {
      const reply = await fetch(`/air/${day}/clock?now=${now()}`);
      if (reply.ok) take(await reply.json());
    } catch { told("The workbench does not answer. Everything for the hour is on this page; go on."); setTimeout(flush, AGAIN); }
  };

  // Keys. They go before those of the other pages.
  const back = () => state.places[Math.max(0, state.places.indexOf(hour.at) - 1)];
  const note = (how) => {
    if (!/^\d+$/.test(hour.at)) return;
    press("note", { place: hour.at, how, text: by("air-text").value.trim() });
    by("air-text").value = "";
  };
  const words = (how) => { pending = how; by("air-text").focus(); };
  let pending = "";
  const onward = () => (hour.begun ? press("turn", { place: following() }) : press("begin"));
  const keys = {
    g: () => press("begin"), " ": onward, n: onward, ArrowRight: onward,
    ArrowLeft: () => press("turn", { place: back() }),
    s: () => note("said"), p: () => note("postponed"), c: () => words("changed"), b: () => words("asked_back"),
    d: () => state.drop.forEach((place) => press("note", { place, how: "postponed", text: "no time" })),
    a: () => { if (state.add) press("add", { place: state.add }); },
    l: () => by("air-words").focus(),
  };
  const keysOn = () => { try { return localStorage.getItem("single-keys") !== "off"; } catch { return true; } };
  document.addEventListener("keydown", (event) => {
    const at = event.target;
    if (event.ctrlKey || event.metaKey || event.altKey || at.closest("dialog") || event.key === "?" || event.key === "Tab") return;
    if (at.matches("input")) {
      if (event.key === "Escape") { pending = ""; at.blur(); }
      if (event.key === "Enter" && at === by("air-text")) { event.preventDefault(); note(pending || "said"); pending = ""; at.blur(); }
      event.stopImmediatePropagation();
      return;
    }
    event.stopImmediatePropagation();
    if (aired || !keysOn() || (event.key === " " && at.matches("button, a, summary"))) return;
    const act = Object.hasOwn(keys, event.key) && keys[event.key];
    if (act) { event.preventDefault(); act(); }
  }, true);
  air.addEventListener("submit", (event) => {
    const form = event.target, button = event.submitter;
    if (form.classList.contains("air-over")) return;
    event.preventDefault();
    if (form.id === "air-ask") { press("ask", { text: by("air-words").value.trim() }); by("air-words").value = ""; by("air-words").blur(); }
    else if (button.dataset.turn) press("turn", { place: button.dataset.turn });
    else if (button.dataset.how) note(button.dataset.how);
    else press("begin");
  });

  waiting().forEach(step);
  draw();
  flush();
  look();
  setInterval(tick, 250);
  setInterval(look, MORE * 1000);
})();
