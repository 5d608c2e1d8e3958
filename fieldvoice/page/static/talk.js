"use strict";
// The phone as the microphone: a button to hold, or to tap on and off, and the sound over a link of its own.
(() => {
  const TAP = 350; // milliseconds: a shorter press switches, a longer one is held
  const TAIL = 300; // milliseconds: people let go on the last word, so that what comes so soon after belongs to the call
  const at = (id) => document.getElementById(id);
  const button = at("talk"), level = at("level");
  let link = null, context = null, down = false, pressed = 0, latched = false, wanted = false, ending = 0;

  function show(text) {
    button.textContent = text || (down ? "TALKING" : latched ? "TALKING: tap to end" : "Hold to talk");
    button.dataset.down = String(down);
  }

  function send(what) { if (link && link.readyState === WebSocket.OPEN) { link.send(what); return true; } return false; }

  function end() { clearTimeout(ending); ending = 0; send("up"); }

  function press(now) {
    if (now === down) return;
    if (ending) end();
    down = now;
    if (!down) ending = setTimeout(end, TAIL);
    else if (!send("down")) { down = latched = false; show("No link: say it again when it is back"); connect(); return; }
    show();
  }

  function connect() {
    if (link && link.readyState <= WebSocket.OPEN) return;
    link = new WebSocket(`wss://${location.host}/sound`);
    link.binaryType = "arraybuffer";
    link.onopen = () => { down = latched = false; show(); };
    link.onclose = (event) => {
      const lost = down || ending;
      down = latched = false;
      show(event.code === 4000 ? "Another phone is the microphone" : lost ? "The link dropped: say it again" : "No link");
      if (wanted) setTimeout(connect, 1000);
    };
  }

  async function start() {
    if (context) { await context.resume(); return; }
    const constraints = { audio: { channelCount: 1, echoCancellation: false, noiseSuppression: false, autoGainControl: true } };
    const stream = await navigator.mediaDevices.getUserMedia(constraints);
    context = new AudioContext({ sampleRate: 16000 });
    await context.audioWorklet.addModule("/sound.js");
    const node = new AudioWorkletNode(context, "sound", { numberOfOutputs: 0, channelCount: 1, channelCountMode: "explicit" });
    node.port.onmessage = (event) => {
      send(event.data);
      let loudest = 0;
      for (const sample of new Int16Array(event.data)) loudest = Math.max(loudest, Math.abs(sample));
      level.value = loudest / 32768;
    };
    context.createMediaStreamSource(stream).connect(node);
    wanted = true;
    connect();
    await new Promise((resolve) => { link.addEventListener("open", resolve, { once: true }); setTimeout(resolve, 3000); });
  }

  button.addEventListener("pointerdown", async (event) => {
    event.preventDefault();
    if (button.setPointerCapture) button.setPointerCapture(event.pointerId);
    pressed = performance.now();
    try { await start(); } catch (trouble) { show(`No microphone: ${trouble.message}`); return; }
    if (latched) { latched = false; press(false); pressed = -Infinity; return; }
    press(true);
  });
  for (const name of ["pointerup", "pointercancel"]) button.addEventListener(name, () => {
    if (!down || latched) return;
    if (performance.now() - pressed < TAP) { latched = true; show(); return; }
    press(false);
  });
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") { latched = false; press(false); if (ending) end(); } else if (wanted) connect(); });
  document.addEventListener("fieldvoice-talk", () => {
    const can = window.isSecureContext && navigator.mediaDevices;
    button.hidden = level.hidden = !can;
    if (can) show();
  });
})();
