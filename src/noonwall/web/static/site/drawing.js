// Draws what was built: points, marks of what is picked, names beside things.
import * as THREE from "three";
import { EMBER } from "./looks.js";

export const drawing = {
  fit() {
    const wide = this.$el.clientWidth, high = this.$el.clientHeight;
    if (!wide || !high) return;
    this.renderer.setPixelRatio(Math.min(window.devicePixelRatio || 1, 2));
    this.renderer.setSize(wide, high, false);
    this.snug();
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
    if (this.brought && this.things.has(this.brought)) { this.meet(this.brought); this.brought = null; }
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
    const wide = this.$el.clientWidth, high = this.$el.clientHeight;
    const signs = [[wide - 58, 0, wide, 58], [0, 0, this.$refs.note.offsetWidth + 14, 46]];  // compass and note
    const taken = [...signs];
    for (const label of this.$refs.labels.children) label.wide ||= label.offsetWidth;
    const onScreen = (at) => {
      const spot = new THREE.Vector3(...at).project(camera);
      return [(spot.x * 0.5 + 0.5) * wide, (-spot.y * 0.5 + 0.5) * high, spot.z];
    };
    const meets = (box, others) => others.some((b) => box[0] < b[2] && box[2] > b[0] && box[1] < b[3] && box[3] > b[1]);
    // A label finds its place above its thing, else a little below or beside; ``must``: it stands there whatever it meets.
    const put = (label, at, must, besides = []) => {
      const [x0, y0, z] = onScreen(at), half = label.wide / 2 + 3, others = [...taken, ...besides];
      label.style.visibility = "hidden";
      if (z > 1 || x0 < 4 || x0 > wide - 4 || y0 < 14 || y0 > high - 4) return;
      const steps = [[0, 0], [0, 22], [0, -20], [half + 6, 12], [-half - 6, 12], [0, 44]];
      const spots = steps.map(([dx, dy]) => [Math.min(Math.max(x0 + dx, half), wide - half), Math.max(y0 + dy, 20)]);
      const box = ([x, y]) => [x - half, y - 20, x + half, y];
      const free = spots.find((s) => !meets(box(s), others)) || (must && spots[0]);
      if (!free) return;
      taken.push(box(free));
      label.style.visibility = "visible";
      label.style.transform = `translate(${free[0]}px, ${free[1]}px) translate(-50%, -100%)`;
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
    for (const thing of this.things.values()) if (thing !== first) put(thing.label, spotOf(thing), false);
    const crowns = this.mode === "plan" ? [] : [...this.things.values()].filter((t) => t.at && t.sizes.width).map((t) => {
      const at = t.group.position, [x, y] = onScreen([at.x, at.y, t.top]), [, foot] = onScreen([at.x, at.y, 0]);
      const half = (0.45 * (foot - y) * t.sizes.width) / Math.max(t.top, 0.1);
      return [x - half, y, x + half, foot];
    });
    for (const hour of this.hours || []) put(hour.label, hour.at, false, crowns);
    for (const mark of this.marks) {
      if (this.mode === "wall") mark.label.style.visibility = "hidden";
      else put(mark.label, mark.at, false);
    }
    for (const thing of this.things.values()) thing.label.classList.toggle("nw-site-picked", thing === first);
    const north = this.mode === "plan" ? 0 : this.mode === "wall" ? -this.look.turn : -this.look.turn + 180;
    this.$refs.north.style.transform = `rotate(${north}deg)`;
  },
};
