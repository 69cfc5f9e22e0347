export { html, svg, nothing, render, LitElement } from "lit";
export { repeat } from "lit/directives/repeat.js";
