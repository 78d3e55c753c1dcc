// The site that can be turned: things on it, their shadows, and the glazing with the light that reaches it.
// Lengths are metres: x east, y north, z up. All that is calculated comes from the server; here it is only drawn.
import * as THREE from "three";

const GREEN = { tree: 0x6d8f66, row: 0x6d8f66, stand: 0x6d8f66 };
const PANEL = 0x54698c, WORKS = 0xc9bcae, EMBER = 0xb4471f;
const LIGHT = { ground: 0xf4efe4, sky: 0xfbf8f2, ring: 0xb6ad9c, edge: 0x4b565e };
const DARK = { ground: 0x75858f, sky: 0x12181d, ring: 0x8797a1, edge: 0xcfd8dd };
const PATIENCE_MS = 600;  // how long a move waits for its answer before the next is sent all the same
const SLACK_PX = 5;  // a press that wanders less than this is a tap
const LIT = [[0x26, 0x32, 0x3b], [0x6d, 0x66, 0x50], [0xc5, 0x9a, 0x3a], [0xff, 0xe0, 0x8a]];

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
    this.picked = this.wanted = null;
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

    // ---- building -------------------------------------------------------------------------------------------
    rebuild() {
      if (!this.scene || !this.site) return;
      this.site.traverse((o) => { o.geometry?.dispose?.(); });
      this.site.clear();
      this.things.clear();
      this.$refs.labels.replaceChildren();
      const scene = this.scene;
      for (const thing of scene.things) this.put(thing);
      this.ground(scene);
      this.house(scene);
      this.glass(scene.wall);
      this.ringsAndPoints(scene);
      this.picked = this.things.has(this.wanted) ? this.wanted : null;
      this.paint();
      this.reachOut();
      if (this.last) this.light(this.last, true);
      this.draw(true);
    },

    put(thing) {
      const group = new THREE.Group();
      const at = thing.at || [0, 0];
      group.position.set(at[0], at[1], 0);
      for (const shape of thing.shapes) {
        const mesh = this.shape(shape, thing.kind);
        if (!mesh) continue;
        mesh.traverse((o) => { o.userData.name = thing.name; });
        group.add(mesh);
      }
      this.site.add(group);
      const label = this.label(thing.label, "nw-site-name");
      this.things.set(thing.name, { ...thing, group, label, top: this.topOf(thing) });
    },

    topOf(thing) {
      let top = 0;
      for (const s of thing.shapes) {
        top = Math.max(top, s.cut ?? s.top ?? Math.max(...s.corners.map((c) => c[2])));
      }
      return top;
    },

    shape(s, kind) {
      if (s.form === "cone" || s.form === "egg") return this.crown(s, kind);
      if (s.form === "pole") {
        const high = Math.max(s.top - s.base, 0.01);
        const mesh = this.solid(new THREE.CylinderGeometry(s.width / 2, s.width / 2, high, 10), 0x6f5f50, 1);
        mesh.rotation.x = Math.PI / 2;
        mesh.position.set(s.at[0], s.at[1], s.base + high / 2);
        return mesh;
      }
      const faces = s.form === "board" ? s.corners.slice(2).map((_, i) => [0, i + 1, i + 2]) : s.faces;
      if (!faces.length) return null;
      const colour = s.form === "board" ? (kind === "wing wall" ? WORKS : PANEL) : s.leafy ? 0x6d8f66 : WORKS;
      const mesh = this.solid(this.triangles(s.corners, faces), colour, s.stops);
      mesh.material.side = THREE.DoubleSide;
      if (!s.leafy) mesh.add(this.edges(mesh.geometry));
      return mesh;
    },

    triangles(corners, faces) {
      const geometry = new THREE.BufferGeometry();
      geometry.setAttribute("position", new THREE.Float32BufferAttribute(faces.flat().flatMap((i) => corners[i]), 3));
      geometry.computeVertexNormals();
      return geometry;
    },

    crown(s, kind) {
      const tall = s.tip - s.base, cut = Math.max(0.01, Math.min(s.cut, s.tip) - s.base);
      const rows = [], steps = 14;
      for (let i = 0; i <= steps; i++) {
        const up = (cut * i) / steps, part = up / tall;
        const wide = s.form === "cone" ? 1 - part : Math.sqrt(Math.max(0, 1 - (2 * part - 1) ** 2));
        rows.push(new THREE.Vector2(Math.max(0.001, s.radius * wide), up));
      }
      rows.unshift(new THREE.Vector2(0.001, 0));
      rows.push(new THREE.Vector2(0.001, cut));
      const colour = s.form === "cone" ? 0x5b7f5b : 0x8ba05c;
      const mesh = this.solid(new THREE.LatheGeometry(rows, 22), colour, s.stops);
      mesh.rotation.x = Math.PI / 2;
      mesh.position.set(s.at[0], s.at[1], s.base);
      return mesh;
    },

    // ``stops``: share of light it stops; what lets light through throws a thin shadow and can be seen through.
    solid(geometry, colour, stops) {
      const thin = stops < 0.97;
      const material = new THREE.MeshLambertMaterial({ color: colour, transparent: thin, opacity: 0.45 + 0.55 * stops });
      const mesh = new THREE.Mesh(geometry, material);
      mesh.castShadow = true;
      mesh.receiveShadow = !thin;
      if (thin) {
        const depth = new THREE.MeshDepthMaterial({ depthPacking: THREE.RGBADepthPacking, side: THREE.FrontSide });
        depth.onBeforeCompile = (shader) => {
          shader.fragmentShader = shader.fragmentShader.replace("#include <clipping_planes_fragment>",
            `#include <clipping_planes_fragment>
             if (fract(sin(dot(floor(gl_FragCoord.xy), vec2(12.9898, 78.233))) * 43758.5453) > ${stops.toFixed(3)}) discard;`);
        };
        depth.customProgramCacheKey = () => `thin${stops.toFixed(3)}`;
        mesh.customDepthMaterial = depth;
      }
      return mesh;
    },

    edges(geometry) {
      const lines = new THREE.LineSegments(new THREE.EdgesGeometry(geometry, 20), new THREE.LineBasicMaterial());
      lines.userData.tint = "edge";
      return lines;
    },

    ground(scene) {
      const side = 8 * scene.reach;
      const mesh = new THREE.Mesh(new THREE.PlaneGeometry(side, side), new THREE.MeshLambertMaterial());
      mesh.userData.tint = "ground";
      mesh.receiveShadow = true;
      if (scene.slope) {
        const normal = new THREE.Vector3(-scene.slope.east, -scene.slope.north, 1).normalize();
        mesh.quaternion.setFromUnitVectors(new THREE.Vector3(0, 0, 1), normal);
      }
      mesh.position.z = -0.02;
      this.site.add(mesh);
    },

    house(scene) {
      const mesh = this.solid(this.triangles(scene.shop.corners, scene.shop.faces), 0xefeae2, 1);
      mesh.add(this.edges(mesh.geometry));
      this.site.add(mesh);
      const middle = scene.shop.outline.reduce((s, c) => [s[0] + c[0] / 4, s[1] + c[1] / 4], [0, 0]);
      this.shopLabel = { label: this.label("shop", "nw-site-name nw-site-own"), at: [...middle, scene.shop.eaves] };
    },

    glass(wall) {
      const off = 0.04, [oe, on] = wall.out;
      const corner = (p, z) => [p[0] + off * oe, p[1] + off * on, z];
      const geometry = new THREE.BufferGeometry();
      const spots = [corner(wall.left, wall.foot), corner(wall.right, wall.foot), corner(wall.right, wall.top), corner(wall.left, wall.top)];
      geometry.setAttribute("position", new THREE.Float32BufferAttribute(spots.flat(), 3));
      geometry.setAttribute("uv", new THREE.Float32BufferAttribute([0, 0, 1, 0, 1, 1, 0, 1], 2));
      geometry.setIndex([0, 1, 2, 0, 2, 3]);
      this.paintbox = new Uint8Array(4 * wall.rows * wall.columns).fill(255);
      this.cells = new THREE.DataTexture(this.paintbox, wall.columns, wall.rows);
      this.cells.colorSpace = THREE.SRGBColorSpace;
      this.cells.magFilter = THREE.LinearFilter;
      const mesh = new THREE.Mesh(geometry, new THREE.MeshBasicMaterial({ map: this.cells, side: THREE.DoubleSide }));
      mesh.add(new THREE.LineLoop(new THREE.BufferGeometry().setAttribute("position", new THREE.Float32BufferAttribute(spots.flat(), 3)),
        new THREE.LineBasicMaterial({ color: EMBER })));
      this.site.add(mesh);
    },

    ringsAndPoints(scene) {
      this.marks = [];
      for (const ring of this.rings || []) {
        const spots = [];
        for (let i = 0; i <= 96; i++) {
          const turn = (i / 96) * 2 * Math.PI;
          spots.push(ring.radius * Math.sin(turn), ring.radius * Math.cos(turn), 0.03);
        }
        const line = new THREE.Line(new THREE.BufferGeometry().setAttribute("position", new THREE.Float32BufferAttribute(spots, 3)), new THREE.LineBasicMaterial());
        line.userData.tint = "ring";
        this.site.add(line);
        this.marks.push({ label: this.label(ring.text, "nw-site-ring"), at: [0, -ring.radius, 0] });
      }
      for (const point of scene.points) {
        const mesh = this.solid(new THREE.CylinderGeometry(0.06, 0.06, 1.6, 8), EMBER, 1);
        mesh.rotation.x = Math.PI / 2;
        mesh.position.set(point.at[0], point.at[1], 0.8);
        mesh.userData.stake = true;
        this.site.add(mesh);
        this.marks.push({ label: this.label(point.name, "nw-site-ring"), at: [...point.at, 1.7] });
      }
    },

    label(text, kind) {
      const label = document.createElement("div");
      label.className = kind;
      label.textContent = text;
      this.$refs.labels.append(label);
      label.wide = 0;  // measured once, when it is first placed
      return label;
    },

    paint() {
      const tone = this.tone();
      this.world.background = new THREE.Color(tone.sky);
      this.site.traverse((o) => { if (o.userData.tint) o.material.color.set(tone[o.userData.tint]); });
      this.draw();
    },

    reachOut() {
      const far = this.scene.reach, box = this.sun.shadow.camera;
      box.left = box.bottom = -far * 1.15;
      box.right = box.top = far * 1.15;
      box.near = 0.5;
      box.far = far * 8;
      box.updateProjectionMatrix();
    },

    // ---- light ----------------------------------------------------------------------------------------------
    // ``told`` comes from the server: way to the sun, cells of the glazing, the day's path, a note.
    light(told, again) {
      if (!this.site) return;
      const moved = !this.last || again || told.path || told.way.some((v, i) => v !== this.last.way[i]);
      told = { ...this.last, ...told };
      this.last = told;
      if (!again) { this.serial += 1; this.share = told.share; }
      const up = told.way[2] > 0, far = 3.5 * this.scene.reach;
      this.sun.intensity = up ? 3.2 : 0;
      this.sun.castShadow = up;
      this.sky.intensity = up ? 1.9 : 1.1;
      this.sun.position.set(told.way[0] * far, told.way[1] * far, Math.max(told.way[2], 0.01) * far);
      if (this.paintbox) this.fill(told.cells);
      if (moved) this.course(told);
      if (told.note !== undefined) this.$refs.note.textContent = told.note;
      this.draw(moved);
      if (!again) this.answered();
    },

    fill(cells) {
      let i = 0;
      for (const row of cells) {
        for (const percent of row) {
          const part = (percent / 100) * (LIT.length - 1), low = Math.min(Math.floor(part), LIT.length - 2);
          for (let c = 0; c < 3; c++) this.paintbox[i++] = Math.round(LIT[low][c] + (part - low) * (LIT[low + 1][c] - LIT[low][c]));
          this.paintbox[i++] = 255;
        }
      }
      this.cells.needsUpdate = true;
    },

    course(told) {
      this.path.traverse((o) => { o.geometry?.dispose?.(); });
      this.path.clear();
      for (const hour of this.hours || []) hour.label.remove();
      const far = this.mode === "wall" ? 300 : 1.35 * this.scene.reach;
      const spots = (told.path || []).flatMap((p) => [p.way[0] * far, p.way[1] * far, p.way[2] * far]);
      const line = new THREE.Line(new THREE.BufferGeometry().setAttribute("position", new THREE.Float32BufferAttribute(spots, 3)),
        new THREE.LineBasicMaterial({ color: 0xb5791a }));
      this.path.add(line);
      this.hours = (told.path || []).filter((p) => p.hour).map((p) => ({ label: this.label(p.hour, "nw-site-hour"), at: p.way.map((v) => v * far) }));
      if (told.way[2] > 0) {
        const ball = new THREE.Mesh(new THREE.SphereGeometry(far * 0.028, 20, 14), new THREE.MeshBasicMaterial({ color: 0xf5b72e }));
        ball.position.set(told.way[0] * far, told.way[1] * far, told.way[2] * far);
        this.path.add(ball);
      }
    },

    // ---- camera ---------------------------------------------------------------------------------------------
    view(mode) {
      if (!this.site) return;
      this.mode = mode;
      const wall = this.scene.wall, far = this.scene.reach;
      const middle = [(wall.left[0] + wall.right[0]) / 2, (wall.left[1] + wall.right[1]) / 2];
      this.look = {
        turn: mode === "wall" ? wall.azimuth : wall.azimuth,
        rise: mode === "wall" ? 7 : 30,
        far: (mode === "plan" ? 1.12 : 1.75) * far,
        at: mode === "wall"
          ? new THREE.Vector3(middle[0] + 0.1 * wall.out[0], middle[1] + 0.1 * wall.out[1], (wall.foot + wall.top) / 2)
          : new THREE.Vector3(middle[0] + 0.36 * far * wall.out[0], middle[1] + 0.36 * far * wall.out[1], mode === "plan" ? 0 : 1.5),
      };
      if (mode === "around") this.look.turn = this.clearest();
      if (this.last) this.course(this.last);
      this.draw();
    },

    // The side from which most of the glazing is seen past what stands around.
    clearest() {
      const wall = this.scene.wall, eye = this.look;
      const spots = [0.1, 0.5, 0.9].flatMap((a) => [0.2, 0.8].map((b) => new THREE.Vector3(
        wall.left[0] + a * (wall.right[0] - wall.left[0]) + 0.1 * wall.out[0],
        wall.left[1] + a * (wall.right[1] - wall.left[1]) + 0.1 * wall.out[1], wall.foot + b * (wall.top - wall.foot))));
      const things = [...this.things.values()].filter((t) => t.kind !== "modules").map((t) => t.group);
      this.world.updateMatrixWorld(true);
      let best = null;
      for (const [off, high] of [26, 38, 50].flatMap((r) => [45, -45, 65, -65, 30, -30].map((o) => [o, r]))) {
        const turn = ((wall.azimuth + off) * Math.PI) / 180, rise = (high * Math.PI) / 180;
        const from = eye.at.clone().add(new THREE.Vector3(Math.sin(turn) * Math.cos(rise), Math.cos(turn) * Math.cos(rise), Math.sin(rise)).multiplyScalar(eye.far));
        let hidden = 0;
        for (const spot of spots) {
          const way = new THREE.Vector3().subVectors(from, spot);
          const beam = new THREE.Raycaster(spot, way.clone().normalize(), 0, way.length());
          if (beam.intersectObjects(things, true).some((h) => h.object.isMesh)) hidden += 1;
        }
        if (!best || hidden < best.hidden) best = { hidden, off, high };
      }
      this.look.rise = best.high;
      return wall.azimuth + best.off;
    },

    turn(by) { if (!this.site) return; this.look.turn = (this.look.turn + by + 360) % 360; this.draw(); },
    zoom(by) {
      if (!this.site) return;
      const far = this.scene.reach;
      this.look.far = Math.min(Math.max(this.look.far * by, 0.12 * far), 6 * far);
      this.draw();
    },

    lens() {
      const look = this.look, turn = (look.turn * Math.PI) / 180, rise = (look.rise * Math.PI) / 180;
      const wide = this.$el.clientWidth / Math.max(1, this.$el.clientHeight);
      if (this.mode === "plan") {
        const half = look.far * Math.max(1, 1 / wide) * (wide > 1 ? 0.62 : 0.8);
        Object.assign(this.flat, { left: -half * wide, right: half * wide, top: half, bottom: -half });
        this.flat.position.set(look.at.x, look.at.y, 1000);
        this.flat.lookAt(look.at.x, look.at.y, 0);
        this.flat.updateProjectionMatrix();
        return this.flat;
      }
      const way = new THREE.Vector3(Math.sin(turn) * Math.cos(rise), Math.cos(turn) * Math.cos(rise), Math.sin(rise));
      this.eye.aspect = wide;
      if (this.mode === "wall") {
        this.eye.fov = wide > 1 ? 62 : 88;
        this.eye.position.copy(look.at);
        this.eye.lookAt(look.at.clone().add(way));
      } else {
        this.eye.fov = 38;
        this.eye.position.copy(look.at).addScaledVector(way, look.far * Math.max(1, 1.2 / wide));
        this.eye.lookAt(look.at);
      }
      this.eye.updateProjectionMatrix();
      return this.eye;
    },

    // ---- drawing --------------------------------------------------------------------------------------------
    fit() {
      const wide = this.$el.clientWidth, high = this.$el.clientHeight;
      if (!wide || !high) return;
      this.renderer.setPixelRatio(Math.min(window.devicePixelRatio || 1, 2));
      this.renderer.setSize(wide, high, false);
      this.draw();
    },

    // Fewer points while something is dragged, so that a machine without a graphics card keeps up.
    sharp(fully) {
      const most = Math.min(window.devicePixelRatio || 1, 2);
      this.renderer.setPixelRatio(fully ? most : Math.min(most, this.slow ? 0.6 : 1));
      this.renderer.setSize(this.$el.clientWidth, this.$el.clientHeight, false);
      this.draw();
    },

    draw(shadows) {
      if (!this.site) return;
      if (shadows) this.renderer.shadowMap.needsUpdate = true;
      if (this.due) return;
      this.due = requestAnimationFrame(() => { this.due = 0; this.render(); });
    },

    render() {
      const camera = this.lens();
      this.camera = camera;
      for (const o of this.site.children) if (o.userData.stake) o.visible = this.mode !== "wall";
      this.mark();
      const begun = performance.now();
      this.renderer.render(this.world, camera);
      this.slow = this.soft || performance.now() - begun > 30;
      this.place(camera);
    },

    mark() {
      this.halo?.removeFromParent();
      this.halo = null;
      const thing = this.picked && this.things.get(this.picked);
      if (!thing || !thing.at) return;
      const wide = 0.5 * (thing.sizes.width || 2), at = thing.group.position;
      this.halo = new THREE.Group();
      const ring = new THREE.Mesh(new THREE.RingGeometry(wide + 0.12, wide + 0.45, 40), new THREE.MeshBasicMaterial({ color: EMBER, side: THREE.DoubleSide }));
      ring.position.set(at.x, at.y, 0.06);
      this.halo.add(ring);
      const grip = (x, y, z, size) => {
        const ball = new THREE.Mesh(new THREE.SphereGeometry(0.018 * this.reachNow(), 18, 12), new THREE.MeshBasicMaterial({ color: EMBER, depthTest: false, transparent: true }));
        ball.position.set(x, y, z);
        ball.renderOrder = 9;
        ball.userData.grip = size;
        this.halo.add(ball);
      };
      if (thing.sizes.height && this.mode !== "plan") grip(at.x, at.y, thing.top, "height");
      if (thing.sizes.width && thing.kind === "tree") grip(...this.side(thing, wide), "width");
      this.world.add(this.halo);
    },

    reachNow() { return this.mode === "plan" ? this.look.far * 0.7 : this.scene.reach; },

    // The grip for the width stands at the right hand of who looks.
    side(thing, wide) {
      const turn = this.mode === "plan" ? Math.PI : (this.look.turn * Math.PI) / 180;
      const at = thing.group.position;
      return [at.x - Math.cos(turn) * wide, at.y + Math.sin(turn) * wide, 0.3 * thing.top];
    },

    place(camera) {
      const wide = this.$el.clientWidth, high = this.$el.clientHeight, taken = [];
      for (const label of this.$refs.labels.children) label.wide ||= label.offsetWidth;
      const put = (label, at, must) => {
        const spot = new THREE.Vector3(...at).project(camera);
        const x = (spot.x * 0.5 + 0.5) * wide, y = (-spot.y * 0.5 + 0.5) * high;
        const half = label.wide / 2 + 3;
        const box = [x - half, y - 20, x + half, y];
        const off = spot.z > 1 || x < 4 || x > wide - 4 || y < 14 || y > high - 4;
        const met = taken.some((b) => box[0] < b[2] && box[2] > b[0] && box[1] < b[3] && box[3] > b[1]);
        const hide = off || (met && !must);
        label.style.visibility = hide ? "hidden" : "visible";
        if (hide) return;
        taken.push(box);
        label.style.transform = `translate(${x}px, ${y}px) translate(-50%, -100%)`;
      };
      const spotOf = (t) => {
        const high = { plan: 0, wall: 0.4, around: 1 }[this.mode];
        if (t.at && t.shapes.every((s) => s.form !== "board")) return [t.group.position.x, t.group.position.y, high * t.top];
        const c = t.shapes[0]?.corners?.[2] || [0, 0, t.top];
        return [c[0] + t.group.position.x, c[1] + t.group.position.y, c[2]];
      };
      const first = this.things.get(this.picked);
      if (first) put(first.label, spotOf(first), true);
      if (this.mode !== "wall") put(this.shopLabel.label, this.shopLabel.at, true);
      else this.shopLabel.label.style.visibility = "hidden";
      for (const hour of this.hours || []) put(hour.label, hour.at, false);
      for (const thing of this.things.values()) if (thing !== first) put(thing.label, spotOf(thing), false);
      for (const mark of this.marks) {
        if (this.mode === "wall") mark.label.style.visibility = "hidden";
        else put(mark.label, mark.at, false);
      }
      for (const thing of this.things.values()) thing.label.classList.toggle("nw-site-picked", thing === first);
      const north = this.mode === "plan" ? 0 : this.mode === "wall" ? -this.look.turn : -this.look.turn + 180;
      this.$refs.north.style.transform = `rotate(${north}deg)`;
    },

    // ---- hands ----------------------------------------------------------------------------------------------
    ray(x, y) {
      const box = this.$refs.canvas.getBoundingClientRect();
      const spot = new THREE.Vector2(((x - box.left) / box.width) * 2 - 1, -((y - box.top) / box.height) * 2 + 1);
      this.beam.setFromCamera(spot, this.camera || this.lens());
      return this.beam;
    },

    hit(x, y) {
      const beam = this.ray(x, y);
      if (this.halo) {
        const grips = this.halo.children.filter((c) => c.userData.grip);
        const near = grips.find((c) => beam.ray.distanceToPoint(c.position) < 0.04 * this.reachNow());
        if (near) return { grip: near.userData.grip, name: this.picked, point: near.position.clone() };
      }
      const found = beam.intersectObjects(this.site.children, true).find((h) => h.object.userData.name);
      return found ? { name: found.object.userData.name, point: found.point } : null;
    },

    hold(e) {
      if (e.touches.length !== 1) return;
      const hit = this.hit(e.touches[0].clientX, e.touches[0].clientY);
      if (hit && hit.name === this.picked) e.preventDefault();
    },

    down(e) {
      this.touches.set(e.pointerId, [e.clientX, e.clientY]);
      if (this.touches.size === 2) { this.press = null; this.apart = this.spread(); return; }
      if (e.button !== 0) return;
      const hit = this.hit(e.clientX, e.clientY);
      this.press = { x: e.clientX, y: e.clientY, lastX: e.clientX, lastY: e.clientY, hit, going: false, id: e.pointerId };
      const thing = hit && this.things.get(hit.name);
      // A finger moves only what is picked already, so that a page can be scrolled past the view.
      const may = thing && thing.at && (e.pointerType !== "touch" || hit.name === this.picked);
      if (may && this.mode !== "wall") {
        const at = thing.group.position;
        this.press.thing = thing;
        this.press.grip = hit.grip;
        this.press.plane = hit.grip === "height" ? this.upright(at) : new THREE.Plane(new THREE.Vector3(0, 0, 1), -hit.point.z);
        const from = this.ray(e.clientX, e.clientY).ray.intersectPlane(this.press.plane, new THREE.Vector3());
        this.press.off = from ? [at.x - from.x, at.y - from.y, (hit.grip === "height" ? thing.top : 0) - from.z] : [0, 0, 0];
        this.press.top = thing.top;
      }
      this.$refs.canvas.setPointerCapture(e.pointerId);
    },

    upright(at) {
      const way = new THREE.Vector3().subVectors(this.camera.position, at).setZ(0).normalize();
      return new THREE.Plane().setFromNormalAndCoplanarPoint(way, at);
    },

    spread() {
      const [a, b] = [...this.touches.values()];
      return Math.hypot(a[0] - b[0], a[1] - b[1]);
    },

    move(e) {
      if (this.touches.has(e.pointerId)) this.touches.set(e.pointerId, [e.clientX, e.clientY]);
      if (this.touches.size === 2) {
        const now = this.spread();
        if (this.apart) this.zoom(this.apart / Math.max(now, 1));
        this.apart = now;
        return;
      }
      const press = this.press;
      if (!press) { this.hover(e); return; }
      if (!press.going && Math.hypot(e.clientX - press.x, e.clientY - press.y) < SLACK_PX) return;
      if (!press.going && press.thing) { this.pick(press.thing.name, true); this.sharp(false); }
      press.going = true;
      if (press.thing) this.drag(e);
      else this.swing(e.clientX - press.lastX, e.clientY - press.lastY, e.pointerType);
      press.lastX = e.clientX;
      press.lastY = e.clientY;
    },

    hover(e) {
      if (e.pointerType === "touch") return;
      const hit = this.hit(e.clientX, e.clientY), thing = hit && this.things.get(hit.name);
      this.$refs.canvas.style.cursor = hit?.grip ? (hit.grip === "height" ? "ns-resize" : "ew-resize") : thing?.at ? "grab" : thing ? "pointer" : "default";
    },

    drag(e) {
      const press = this.press, thing = press.thing;
      const spot = this.ray(e.clientX, e.clientY).ray.intersectPlane(press.plane, new THREE.Vector3());
      if (!spot) return;
      if (press.grip === "height") {
        const high = Math.min(Math.max(press.top ? thing.sizes.height * (spot.z + press.off[2]) / press.top : 1, 0.5), 60);
        press.size = high;
        thing.group.scale.z = high / thing.sizes.height;
        this.halo.children.forEach((c) => { if (c.userData.grip === "height") c.position.z = press.top * thing.group.scale.z; });
        this.ask("size", { name: thing.name, size: "height", metres: high });
      } else if (press.grip === "width") {
        const at = thing.group.position;
        press.size = Math.min(Math.max(2 * Math.hypot(spot.x - at.x, spot.y - at.y), 0.5), 40);
        thing.group.scale.x = thing.group.scale.y = press.size / thing.sizes.width;
        this.ask("size", { name: thing.name, size: "width", metres: press.size });
      } else {
        const far = 4 * this.scene.reach;
        const clip = (v) => Math.min(Math.max(v, -far), far);
        thing.group.position.x = clip(spot.x + press.off[0]);
        thing.group.position.y = clip(spot.y + press.off[1]);
        this.ask("move", { name: thing.name, east: thing.group.position.x, north: thing.group.position.y });
      }
      this.draw(true);
    },

    swing(dx, dy, kind) {
      const look = this.look;
      if (this.mode === "plan") {
        const scale = (this.flat.right - this.flat.left) / this.$el.clientWidth;
        look.at.x -= dx * scale;
        look.at.y += dy * scale;
      } else {
        const sense = this.mode === "wall" ? -0.18 : 0.35;
        look.turn = (look.turn + dx * sense + 360) % 360;
        if (kind !== "touch") look.rise = Math.min(Math.max(look.rise + dy * Math.abs(sense), this.mode === "wall" ? -20 : 4), 88);
      }
      this.draw();
    },

    up(e) {
      this.touches.delete(e.pointerId);
      this.apart = 0;
      const press = this.press;
      this.press = null;
      if (!press || press.id !== e.pointerId) return;
      if (!press.going) { if (e.type === "pointerup") this.pick(press.hit ? press.hit.name : null, true); return; }
      if (!press.thing) return;
      this.sharp(true);
      this.later = null;
      const thing = press.thing, at = thing.group.position;
      if (press.grip) { if (press.size) this.$emit("sized", { name: thing.name, size: press.grip, metres: press.size }); }
      else this.$emit("drop", { name: thing.name, east: at.x, north: at.y });
    },

    // Put everything back where the project has it, after a drop that was refused.
    back() { this.rebuild(); },

    wheel(e) {
      if (!e.ctrlKey && document.activeElement !== this.$refs.canvas) return;
      e.preventDefault();
      this.zoom(e.deltaY > 0 ? 1.12 : 0.89);
    },

    pick(name, tell) {
      this.wanted = name;  // it may be a thing that the next scene brings
      this.picked = name && this.things.has(name) ? name : null;
      if (tell) this.$emit("pick", { name: this.picked });
      this.draw();
    },

    // Moves wait for the answer to the last one, so that a slow machine shows the newest and not a queue.
    ask(what, told, since = performance.now()) {
      if (this.waiting && performance.now() - this.waiting < PATIENCE_MS) { this.later = [what, told, since]; return; }
      this.waiting = performance.now();
      this.since = since;
      this.$emit(what, told);
    },

    answered() {
      if (this.waiting) this.waits.push(performance.now() - this.since);
      this.waiting = 0;
      const next = this.later;
      this.later = null;
      if (next && this.press) this.ask(...next);
    },

    hook() {
      return {
        screen: (name) => {
          const thing = this.things.get(name), box = this.$refs.canvas.getBoundingClientRect();
          const at = thing.group.position, spot = new THREE.Vector3(at.x, at.y, this.mode === "plan" ? thing.top : 0.45 * thing.top).project(this.camera || this.lens());
          return [box.left + (spot.x * 0.5 + 0.5) * box.width, box.top + (-spot.y * 0.5 + 0.5) * box.height];
        },
        state: () => ({ serial: this.serial, share: this.share, picked: this.picked, mode: this.mode, waits: this.waits }),
        at: (name) => { const p = this.things.get(name).group.position; return [p.x, p.y]; },
      };
    },
  },
};
