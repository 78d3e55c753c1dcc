// The parts of the view of the site.
export { building } from "./building.js";
export { light } from "./light.js";
export { camera } from "./camera.js";
export { drawing } from "./drawing.js";
export { hands } from "./hands.js";
export { DARK, LIGHT } from "./looks.js";
