// Keys, dialogs, copying, and keeping typed words safe. Everything else works without it.
(() => {
  "use strict";
  const by = (id) => document.getElementById(id);
  const STAYS = 9000; // milliseconds that a word of what was done stays on the page
  let fading;
  const fade = () => { clearTimeout(fading); fading = setTimeout(() => { by("said").textContent = ""; }, STAYS); };
  const say = (words) => { by("said").textContent = words; fade(); };

  // Single keys may be turned off (WCAG 2.1.4); the choice stays in this browser.
  const keysOn = () => { try { return localStorage.getItem("single-keys") !== "off"; } catch { return true; } };
  const typing = (at) => at.closest("input, textarea, select, dialog, [contenteditable]");
  const press = (id) => { const at = by(id); if (at) at.click(); return Boolean(at); };
  const focus = (at) => {
    if (!at) return false;
    at.focus(); at.scrollIntoView({ block: "nearest" });
    return true;
  };

  const step = (list, by) => {
    const all = [...document.querySelectorAll(list)];
    const now = all.indexOf(document.activeElement);
    return focus(all[now < 0 ? (by > 0 ? 0 : all.length - 1) : Math.min(Math.max(now + by, 0), all.length - 1)]);
  };
  const round = (list) => {
    const all = [...document.querySelectorAll(list)];
    return focus(all[(all.indexOf(document.activeElement) + 1) % all.length]);
  };
  const go = (path) => { window.location.href = path; return true; };

  const keys = {
    "?": () => { by("keys").showModal(); return true; },
    "/": () => focus(by("find")) || go("/"),
    j: () => step(".rows a", 1), ArrowDown: () => step(".rows a", 1),
    k: () => step(".rows a", -1), ArrowUp: () => step(".rows a", -1),
    w: () => go("/"),
    n: () => press("next"),
    m: () => round(".asker a.mark"),
    f: () => press("add-fact"),
    a: () => round(".answers button"),
    e: () => focus(document.querySelector("#letter textarea")),
    c: () => press("copy"), s: () => press("eml"), u: () => press("undo"),
    o: () => focus(by("gone")),
  };

  document.addEventListener("keydown", (event) => {
    const letter = by("letter");
    if ((event.ctrlKey || event.metaKey) && event.key === "Enter" && letter && letter.contains(event.target)) {
      event.preventDefault();
      letter.requestSubmit(by("keep"));
      return;
    }
    if (event.key === "Escape" && event.target.closest("#letter")) { event.target.blur(); return; }
    if (event.ctrlKey || event.metaKey || event.altKey || !keysOn() || typing(event.target)) return;
    const act = Object.hasOwn(keys, event.key) && keys[event.key];
    if (act && act()) event.preventDefault();
  });

  document.addEventListener("click", (event) => {
    const close = event.target.closest("[data-close]");
    if (close) {
      const box = by(close.dataset.close);
      if (box.close) box.close(); else box.textContent = "";
    }
    if (event.target.closest("[data-copy]")) copy();
    const download = event.target.closest("#eml");
    if (download && changed()) { event.preventDefault(); keepThen(() => press("eml")); }
  });

  document.addEventListener("change", (event) => {
    if (event.target.id === "keys-on") {
      try { localStorage.setItem("single-keys", event.target.checked ? "on" : "off"); } catch { /* private window */ }
    }
  });

  // The reply as plain text, as the fields stand now.
  const reply = () => [...document.querySelectorAll("#letter .block")].reduce((text, block) => {
    const words = block.querySelector("textarea").value.trim();
    if (!words) return text;
    const apart = block.classList.contains("opens") ? "\n\n" : block.classList.contains("bullet") ? "\n" : " ";
    return text ? text + apart + words : words;
  }, "");
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(reply());
      say("Copied.");
    } catch {
      say("The browser does not let this page copy. Select the words and copy them yourself.");
    }
  };

  // Typed words are kept in this browser until the server has them.
  const place = () => { const card = by("card"); return card ? `typed-${card.dataset.thread}` : ""; };
  const fields = () => [...document.querySelectorAll("#letter textarea[name=text]")];
  const changed = () => fields().some((field) => field.value !== field.defaultValue);
  const keepThen = (then) => {
    document.body.addEventListener("htmx:afterSettle", (event) => {
      if (event.detail.xhr.status === 200) then();
    }, { once: true });
    by("letter").requestSubmit(by("keep"));
  };
  const remember = () => {
    const unkept = by("unkept");
    if (unkept) unkept.hidden = !changed();
    try {
      if (changed()) sessionStorage.setItem(place(), JSON.stringify({ version: by("letter").dataset.version, texts: fields().map((f) => f.value) }));
      else sessionStorage.removeItem(place());
    } catch { /* no room or private window: the warning on leaving remains */ }
  };
  const recall = () => {
    let kept;
    try { kept = JSON.parse(sessionStorage.getItem(place()) || "null"); } catch { kept = null; }
    const letter = by("letter");
    if (!kept || !letter || kept.version !== letter.dataset.version || kept.texts.length !== fields().length) return;
    fields().forEach((field, n) => { field.value = kept.texts[n]; });
    remember();
    say("What you had typed and not kept is back.");
  };
  document.addEventListener("input", (event) => { if (event.target.closest("#letter")) remember(); });
  let leaving = false;
  window.addEventListener("beforeunload", (event) => { if (!leaving && by("letter") && changed()) event.preventDefault(); });
  document.addEventListener("submit", () => { leaving = true; setTimeout(() => { leaving = false; }, 3000); });

  // What htmx swapped in.
  const forget = () => { try { sessionStorage.removeItem(place()); } catch { /* nothing kept */ } };
  document.addEventListener("htmx:afterSwap", (event) => {
    if (event.detail.target.id === "fact") { if (!by("fact").open) by("fact").showModal(); }
    if (event.detail.target.id === "trouble") focus(by("trouble").querySelector("button"));
  });
  document.addEventListener("htmx:oobAfterSwap", fade);
  document.addEventListener("htmx:beforeSwap", (event) => {
    // whatever the status: a part that says where it belongs says it to the person
    if (event.detail.xhr.getResponseHeader("HX-Retarget")) { event.detail.shouldSwap = true; event.detail.isError = false; }
    if (event.detail.target.id === "card" && event.detail.xhr.status === 200) forget();
    if (event.detail.target.id === "card" && by("fact") && by("fact").open) by("fact").close();
  });
  document.addEventListener("htmx:beforeOnLoad", (event) => {
    if (event.detail.xhr.getResponseHeader("HX-Redirect")) { leaving = true; forget(); }
  });
  document.addEventListener("htmx:beforeRequest", (event) => {
    // no page is refreshed under somebody's hands
    if (event.detail.elt.id === "rows" && document.querySelector("dialog[open]")) event.preventDefault();
  });
  const failed = (words) => {
    const trouble = by("trouble");
    trouble.innerHTML = "";
    const box = document.createElement("section"), text = document.createElement("p"), close = document.createElement("button");
    box.className = "sheet narrow"; text.textContent = words;
    close.type = "button"; close.className = "act"; close.dataset.close = "trouble"; close.textContent = "Back to the page";
    box.append(text, close); trouble.append(box); focus(close);
  };
  const quiet = (event) => ["rows", "here"].includes(event.detail.elt.id);
  document.addEventListener("htmx:sendError", (event) => {
    if (quiet(event)) { say("The workbench does not answer. Is it running? This page tries again by itself."); return; }
    failed("The workbench does not answer. What you typed is still here: start it again, then try once more.");
  });
  document.addEventListener("htmx:responseError", (event) => {
    if (!quiet(event)) failed("The workbench could not do that (" + event.detail.xhr.status + "). What you typed is still here.");
  });
  document.addEventListener("DOMContentLoaded", () => {
    const on = by("keys-on");
    if (on) on.checked = keysOn();
    recall();
    const after = new URLSearchParams(window.location.search).get("after");
    if (after) say(`Question ${after} is recorded as gone out. The next one is open.`);
  });
})();
