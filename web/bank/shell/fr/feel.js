// @ts-check
/** How a phone suits the hand, in French. */

/** @type {typeof import("../words-feel.js").feelWords} */
export const feel = {
  title: "En main",
  hand: "Le pouce avec lequel je touche",
  hands: { right: "Droit", left: "Gauche" },
  shake: "Vibrer quand quelque chose est gardé",
  sound: "Un bref son quand quelque chose est gardé",
  always: "La coche est toujours montrée. Une vibration ou un son ne vient qu’en plus.",
  language: "Langue",
  lightTitle: "Lumière de l’écran",
  lightHelp: "Plein soleil a de plus grandes lettres et des traits plus épais. La nuit est sombre et a peu de bleu, pour que les yeux restent habitués à l’obscurité.",
  lights: { "": "Comme le téléphone", day: "Jour", sun: "Soleil", night: "Nuit" },
};
