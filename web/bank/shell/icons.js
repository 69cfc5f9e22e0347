// @ts-check
/** Line drawings of our own, on a grid of 24: always beside a word, so hidden from readers. */
import { svg, html } from "./element.js";

const shapes = {
  phone: svg`<path d="M7 2h10v20H7zM11 19h2"/>`,
  tick: svg`<path d="M4 13l5 5L20 6"/>`,
  refused: svg`<path d="M12 3l10 18H2zM12 10v5M12 18v.01"/>`,
  settle: svg`<path d="M12 3v18M5 7h14M5 7l-3 7h6zM19 7l-3 7h6z"/>`,
  signal: svg`<path d="M4 20v-3M9 20v-7M14 20V9M19 20V4"/>`,
  noSignal: svg`<path d="M4 20v-3M9 20v-7M14 20v-6M19 20V4M3 3l18 18"/>`,
  key: svg`<path d="M8 8a4 4 0 1 0 .01 0M11 14l9-9M17 8l3 3"/>`,
  back: svg`<path d="M15 5l-7 7 7 7"/>`,
  ahead: svg`<path d="M9 5l7 7-7 7"/>`,
  day: svg`<path d="M3 17h18M6 17a6 6 0 0 1 12 0M12 5v2M4 10l2 1M20 10l-2 1M6 21h12"/>`,
  night: svg`<path d="M14 3a8 8 0 1 0 7 11 7 7 0 0 1-7-11zM3 21c3-2 5-2 7 0 2-2 4-2 6 0"/>`,
  sun: svg`<path d="M12 8a4 4 0 1 0 .01 0M12 2v2M12 20v2M2 12h2M20 12h2M5 5l1.500 1.500M17.500 17.500L19 19M19 5l-1.500 1.500M6.500 17.500L5 19"/>`,
  scales: svg`<path d="M12 2v4M12 6a5 5 0 1 0 .01 0M12 11l2-2M12 16v2M9 21c0-4 6-4 6 0z"/>`,
  feed: svg`<path d="M4 11h16a8 8 0 0 1-16 0zM9 7v.01M13 5v.01M15 8v.01M11 3v.01"/>`,
  fish: svg`<path d="M3 12c4-6 10-6 14 0-4 6-10 6-14 0zM17 12l4-4v8zM8 11v.01"/>`,
  peg: svg`<path d="M12 2v9M9 5h6M10 11h4v9l-2 2-2-2zM2 15c2-2 4-2 6 0M16 15c2-2 4-2 6 0"/>`,
  bank: svg`<path d="M2 9h20M5 9V4M12 9V4M19 9V4M2 15c3-2 5-2 7 0 2 2 5 2 7 0 2-2 4-2 6 0M2 20c3-2 5-2 7 0 2 2 5 2 7 0 2-2 4-2 6 0"/>`,
  plan: svg`<path d="M5 3h14v18H5zM9 8h6M9 12h6M9 16h3"/>`,
  board: svg`<path d="M4 3h16v13H4zM9 21l1-5M15 21l-1-5M8 7h2M8 11h2M13 7h4M13 11h3"/>`,
  undo: svg`<path d="M4 9h10a5 5 0 0 1 0 10H9M8 4L3 9l5 5"/>`,
  erase: svg`<path d="M8 5h13v14H8l-6-7zM12 9l6 6M18 9l-6 6"/>`,
  clock: svg`<path d="M12 3a9 9 0 1 0 .01 0M12 7v5l3 2"/>`,
  whistle: svg`<path d="M3 9h11l7-2v5h-5a6 6 0 1 1-11-1z"/>`,
  file: svg`<path d="M12 3v12M6 10l6 6 6-6M4 21h16"/>`,
  bag: svg`<path d="M9 3l3 2 3-2 2 4H7zM7 7c-6 8-5 14 5 14s11-6 5-14M9 12c1.500 2 4.500 2 6 0M8 16c2 2 6 2 8 0"/>`,
};

/** @param {keyof typeof shapes} name */
export const icon = (name) =>
  html`<svg class="icon" viewBox="0 0 24 24" aria-hidden="true" focusable="false">${shapes[name]}</svg>`;
