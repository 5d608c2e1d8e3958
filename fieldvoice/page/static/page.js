"use strict";
// Shows what the session says, and nothing that it said a while ago: a page that has lost its session blanks its marks.
(() => {
  const LOST_AFTER = 1500; // milliseconds without a beat; the session beats twice a second
  const AGAIN_AFTER = 1000; // milliseconds until a lost connection is tried again
  const body = document.body;
  const at = (id) => document.getElementById(id);
  // A fraction never goes to another line than its inches, nor a unit than its figure.
  const tied = (text) => (text || "").replace(/(\d) (?=\d+\/\d|(?:in|mm|lb|kg|ft)\b)/g, "$1\u00a0");
  const write = (id, text) => { if (at(id).textContent !== tied(text)) at(id).textContent = tied(text); };
  let source = null, beat = -Infinity, state = null, again = 0, drawn = null, lock = null, showing = false;

  const element = (name, style, text) => {
    const made = document.createElement(name);
    made.className = style;
    if (text !== undefined) made.textContent = text;
    return made;
  };

  function length(figure) {
    const made = element("span", "length");
    if (figure.whole) made.append(element("span", "whole", figure.whole));
    if (figure.over) {
      const fraction = element("span", "fraction");
      fraction.append(element("span", "over", figure.over), element("span", "slash", "/"), element("span", "under", figure.under));
      made.append(fraction);
    }
    return made;
  }

  function figures(list) {
    const all = list.map((figure) => {
      const made = element("div", "figure");
      if (figure.place) made.append(element("span", "place", figure.place));
      made.append(length(figure));
      return made;
    });
    at("figures").replaceChildren(...all);
    body.dataset.figures = String(list.length);
  }

  // The figures are as large as their room allows, found by halving.
  function fit() {
    const room = at("marks"), box = at("figures");
    if (!room.clientHeight) return;
    if (!box.children.length) return;
    let low = 12, high = Math.max(room.clientHeight, 24);
    for (let tries = 0; tries < 12 && high - low > 1; tries += 1) {
      const size = (low + high) / 2;
      box.style.setProperty("--figure", `${size}px`);
      if (room.scrollHeight <= room.clientHeight && box.scrollWidth <= box.clientWidth) low = size; else high = size;
    }
    box.style.setProperty("--figure", `${low}px`);
  }

  function items(id, list) {
    at(id).replaceChildren(...(list || []).map((text) => element("li", "", tied(text))));
  }

  function show() {
    if (!state) return;
    body.dataset.look = state.look;
    write("title", state.title);
    document.title = `${state.title}: ${state.mode}`;
    write("mode", state.mode);
    write("danger", state.danger);
    write("question", state.question);
    write("trouble", state.trouble);
    write("caption", state.caption);
    figures(state.figures);
    write("step", state.step);
    write("next", state.next);
    write("heard", state.heard);
    items("missing", state.missing);
    items("cautionlist", state.cautions);
    items("fastening", state.fastening);
    at("read").hidden = state.acknowledged;
    at("done").disabled = !state.hand;
    fit();
    if (state.drawing !== drawn) {
      drawn = state.drawing;
      if (drawn) at("board").src = `/board.svg?${encodeURIComponent(drawn)}`;
      else at("board").removeAttribute("src");
    }
  }

  function lost() {
    if (body.dataset.look === "lost") return;
    body.dataset.look = "lost";
    for (const id of ["danger", "question", "caption", "step", "next", "heard", "mode"]) write(id, "");
    figures([]);
    at("board").removeAttribute("src");
    drawn = null;
    state = null;
  }

  function alive() { beat = performance.now(); }

  function connect() {
    clearTimeout(again);
    if (source) source.close();
    source = new EventSource("/events");
    source.addEventListener("right", (event) => { alive(); body.dataset.right = event.data; });
    source.addEventListener("talk", () => { alive(); document.dispatchEvent(new Event("fieldvoice-talk")); });
    source.addEventListener("beat", () => { alive(); if (!state) connectSoon(); });
    source.addEventListener("state", (event) => { alive(); try { state = JSON.parse(event.data); show(); } catch { lost(); connectSoon(); } });
    source.onerror = () => connectSoon();
  }

  // A connection that was refused is never tried again by the browser itself, so every failed one is made anew.
  function connectSoon() {
    if (source) source.close();
    clearTimeout(again);
    again = setTimeout(connect, AGAIN_AFTER);
  }

  function watch() {
    const silent = performance.now() - beat;
    if (silent > LOST_AFTER) lost();
    if (silent > 2 * LOST_AFTER && source && source.readyState !== EventSource.CONNECTING) { beat = performance.now() - LOST_AFTER - 1; connect(); }
  }

  async function post(address, said) {
    if (performance.now() - beat > LOST_AFTER) { write("answer", "Not sent: the session doesn't answer."); return false; }
    try {
      const answer = await fetch(address, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(said || {}) });
      write("answer", answer.ok ? "" : `Not taken (${answer.status}): ${await answer.text()}`);
      return answer.ok;
    } catch {
      write("answer", "Not sent: the session doesn't answer. Say it again when the page is live.");
      return false;
    }
  }

  async function awake() {
    if (!("wakeLock" in navigator) || document.visibilityState !== "visible") return;
    try { lock = await navigator.wakeLock.request("screen"); } catch { lock = null; }
  }

  at("done").addEventListener("click", () => {
    if (!state || !state.hand) return;
    if (!state.acknowledged) { showing = true; at("cautions").hidden = false; return; }
    post("/tick", { step: state.hand });
  });
  at("back").addEventListener("click", () => post("/untick"));
  at("care").addEventListener("click", () => { showing = !showing; at("cautions").hidden = !showing; });
  at("read").addEventListener("click", async () => { if (state && await post("/acknowledge", { care: state.care })) { if (state) state.acknowledged = true; showing = false; at("cautions").hidden = true; } });
  at("say").addEventListener("submit", async (event) => {
    event.preventDefault();
    const line = at("line");
    if (line.value.trim() && await post("/line", { text: line.value })) { line.value = ""; body.removeAttribute("data-typing"); }
  });
  at("call").addEventListener("click", () => { body.toggleAttribute("data-typing"); if (body.hasAttribute("data-typing")) at("line").focus(); fit(); });
  document.addEventListener("visibilitychange", () => { watch(); awake(); });
  addEventListener("pageshow", watch);
  addEventListener("resize", fit);
  at("board").addEventListener("load", fit);
  addEventListener("offline", lost);
  setInterval(watch, 200);
  connect();
  awake();
})();
