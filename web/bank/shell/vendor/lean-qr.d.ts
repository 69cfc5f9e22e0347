export { correction, generate, mode } from "lean-qr";
