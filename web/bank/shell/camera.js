// @ts-check
/** The camera as a reader of QR codes: the phone's own reader where it has one, else ours. */
import { jsQR } from "./vendor/jsqr.js";

/** Pixels a side of what ours looks at: more makes an old phone slow and finds no more. */
const SIDE = 640;

/** @typedef {"refused" | "none"} NoCamera why there is no picture */
/** @typedef {(video: HTMLVideoElement) => Promise<string[]>} Look the codes in sight */

/**
 * Show what the back camera sees. Throws what the phone says where there is none to be had.
 * @param {HTMLVideoElement} video @returns {Promise<() => void>} puts the camera away
 */
async function cameraOpen(video) {
  const stream = await navigator.mediaDevices.getUserMedia({
    audio: false,
    video: { facingMode: { ideal: "environment" }, width: { ideal: 1280 }, height: { ideal: 720 } },
  });
  const close = () => {
    for (const track of stream.getTracks()) track.stop();
    video.srcObject = null;
  };
  video.srcObject = stream;
  await video.play().catch((error) => {
    close();
    throw error;
  });
  return close;
}

/**
 * Read codes until told to stop, each as often as it is seen.
 * @param {HTMLVideoElement} video @param {(text: string) => void} said
 * @returns {Promise<(() => void) | NoCamera>} how to stop, or why it cannot begin
 */
export async function codesRead(video, said) {
  /** @type {() => void} */
  let close;
  try {
    close = await cameraOpen(video);
  } catch (error) {
    return error instanceof DOMException && error.name === "NotAllowedError" ? "refused" : "none";
  }
  const look = await lookMake();
  let open = true;
  const next = async () => {
    if (!open) return;
    for (const text of await look(video)) said(text);
    pictureNext(video, next);
  };
  pictureNext(video, next);
  return () => {
    open = false;
    close();
  };
}

/** @param {HTMLVideoElement} video @param {() => void} then */
function pictureNext(video, then) {
  if (video.requestVideoFrameCallback) video.requestVideoFrameCallback(then);
  else requestAnimationFrame(then);
}

/** @returns {Promise<Look>} */
async function lookMake() {
  const Detector = /** @type {any} */ (globalThis).BarcodeDetector;
  const formats = (await Detector?.getSupportedFormats?.().catch(() => [])) ?? [];
  if (!formats.includes("qr_code")) return lookOurs();
  const detector = new Detector({ formats: ["qr_code"] });
  // It throws while there is no picture yet.
  return (video) => detector.detect(video).then(
    (/** @type {{rawValue: string}[]} */ found) => found.map((code) => code.rawValue), () => []);
}

/** @returns {Look} */
function lookOurs() {
  const canvas = document.createElement("canvas");
  const paper = /** @type {CanvasRenderingContext2D} */ (
    canvas.getContext("2d", { willReadFrequently: true }));
  return async (video) => {
    const { videoWidth: width, videoHeight: height } = video;
    const square = Math.min(width, height);
    if (!square) return [];
    canvas.width = canvas.height = Math.min(square, SIDE);
    paper.drawImage(video, (width - square) / 2, (height - square) / 2, square, square,
      0, 0, canvas.width, canvas.height);
    const { data } = paper.getImageData(0, 0, canvas.width, canvas.height);
    const found = jsQR(data, canvas.width, canvas.height, { inversionAttempts: "dontInvert" });
    return found ? [found.data] : [];
  };
}
