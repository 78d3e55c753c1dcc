export * from "./three.module.min.js";
