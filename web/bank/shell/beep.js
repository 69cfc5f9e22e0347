// @ts-check
/** @type {AudioContext | null} */
let audio = null;

/** A short tone. */
export function beep() {
  audio ??= new AudioContext();
  const tone = audio.createOscillator();
  const loud = audio.createGain();
  loud.gain.value = 0.2;
  tone.frequency.value = 880;
  tone.connect(loud).connect(audio.destination);
  tone.start();
  tone.stop(audio.currentTime + 0.08);
}
