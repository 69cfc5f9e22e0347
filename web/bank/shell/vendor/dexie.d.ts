export { Dexie } from "dexie";
