// @ts-check
/** What to say of storage, and of what this browser, or this window of it, lacks or forbids. */
import { said } from "./language.js";

export const lacksWords = said("lacks", {
  persistYes: "The phone has promised not to empty this app's storage by itself.",
  persistNo: "The phone has not promised to keep this app's storage. If it asks, say yes; put the app on the home screen, and send before the day ends.",
  persistUnknown: "The phone does not say whether it may empty this app's storage.",
  storageTitle: "This window may keep nothing",
  storage: "Its storage is missing or forbidden, as in some private windows: nothing logged here would be kept. Open the app in an ordinary window of this browser, or allow this site to store data. Until then put weights on paper.",
  worker: "Here the app cannot open without signal: keep this page open, or use an ordinary window of a newer browser.",
  awake: "This browser cannot keep the screen on while you weigh: set the phone's own screen to stay on longer.",
  buzz: "This browser does not buzz when something is kept: look for the tick.",
});
