export { default as jsQR } from "jsqr";
