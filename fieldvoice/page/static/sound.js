"use strict";
// Sound in pieces of 20 ms: 16 bit, as the session takes it.
registerProcessor("sound", class extends AudioWorkletProcessor {
  constructor() { super(); this.piece = new Int16Array(Math.round(sampleRate / 50)); this.length = 0; }
  process(inputs) {
    for (const sample of inputs[0][0] || []) {
      this.piece[this.length] = Math.max(-32768, Math.min(32767, Math.round(sample * 32768)));
      this.length += 1;
      if (this.length === this.piece.length) { this.port.postMessage(this.piece.slice().buffer); this.length = 0; }
    }
    return true;
  }
});
