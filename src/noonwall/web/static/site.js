// The site that can be turned: things on it, their shadows, and the glazing with the light that reaches it.
// Lengths are metres: x east, y north, z up. All that is calculated comes from the server; here it is only drawn.
import * as THREE from "three";
import { building, light, camera, drawing, hands, DARK, LIGHT } from "nw-site";

export default {
  template: `
    <div class="nw-site">
      <canvas ref="canvas" role="img" :aria-label="told"></canvas>
      <div ref="labels" class="nw-site-labels" aria-hidden="true"></div>
      <div ref="north" class="nw-site-north" aria-hidden="true"><span>N</span></div>
      <div ref="note" class="nw-site-note" aria-hidden="true"></div>
    </div>`,
  props: { scene: Object, rings: Array, told: String },
  watch: { scene: { handler() { this.rebuild(); }, deep: false } },

  mounted() {
    this.things = new Map();
    this.picked = this.wanted = this.brought = null;
    this.press = null;
    this.touches = new Map();
    this.waiting = 0;
    this.later = null;
    this.serial = 0;
    this.waits = [];  // from each move of a hand to its light, in milliseconds
    this.mode = "around";
    this.look = { turn: 0, rise: 36, far: 1, at: new THREE.Vector3() };
    try {
      this.start();
    } catch {
      this.site = null;
      this.$refs.north.remove();
      this.$refs.note.textContent = "This browser draws nothing in three dimensions. The list, the sky and the day below work all the same.";
      return;
    }
    this.rebuild();
    this.view("around");
    window.nwSite = this.hook();
    this.$emit("ready");
  },

  unmounted() {
    this.sizes?.disconnect();
    this.mood?.disconnect();
    this.renderer?.dispose();
  },

  methods: {
    start() {
      const canvas = this.$refs.canvas;
      this.renderer = new THREE.WebGLRenderer({ canvas, antialias: true, preserveDrawingBuffer: true });
      const facts = this.renderer.getContext().getExtension("WEBGL_debug_renderer_info");
      this.soft = !!facts && /swiftshader|llvmpipe|software/i.test(this.renderer.getContext().getParameter(facts.UNMASKED_RENDERER_WEBGL));
      this.renderer.shadowMap.enabled = true;
      this.renderer.shadowMap.autoUpdate = false;  // only when the sun or a thing has moved
      this.renderer.shadowMap.type = THREE.PCFShadowMap;
      this.world = new THREE.Scene();
      this.eye = new THREE.PerspectiveCamera(38, 2, 0.05, 4000);
      this.flat = new THREE.OrthographicCamera(-1, 1, 1, -1, 0.1, 4000);
      this.eye.up.set(0, 0, 1);
      this.flat.up.set(0, 1, 0);
      this.sun = new THREE.DirectionalLight(0xfff1d0, 2.6);
      this.sun.castShadow = true;
      this.sun.shadow.mapSize.set(1536, 1536);
      this.sun.shadow.bias = -0.0004;
      this.sun.shadow.normalBias = 0.04;
      this.sky = new THREE.HemisphereLight(0xf2f4f6, 0xb8ad9a, 1.5);
      this.world.add(this.sun, this.sun.target, this.sky);
      this.site = new THREE.Group();
      this.world.add(this.site);
      this.path = new THREE.Group();
      this.world.add(this.path);
      this.beam = new THREE.Raycaster();
      this.cells = null;
      const on = (name, call) => canvas.addEventListener(name, call);
      on("pointerdown", (e) => this.down(e));
      on("pointermove", (e) => this.move(e));
      on("pointerup", (e) => this.up(e));
      on("pointercancel", (e) => this.up(e));
      canvas.addEventListener("touchstart", (e) => this.hold(e), { passive: false });
      canvas.addEventListener("wheel", (e) => this.wheel(e), { passive: false });
      this.sizes = new ResizeObserver(() => this.fit());
      this.sizes.observe(this.$el);
      this.mood = new MutationObserver(() => this.paint());
      this.mood.observe(document.body, { attributes: true, attributeFilter: ["class"] });
    },

    say(words) { this.$refs.canvas.setAttribute("aria-label", words); },

    dark() { return document.body.classList.contains("body--dark"); },
    tone() { return this.dark() ? DARK : LIGHT; },
    ...building,
    ...light,
    ...camera,
    ...drawing,
    ...hands,
  },
};
