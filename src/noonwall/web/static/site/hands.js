// Fingers and mouse: pick, drag, resize, turn, and tell the server.
import * as THREE from "three";
import { FINGER_PX, PATIENCE_MS, SLACK_PX } from "./looks.js";

export const hands = {
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

  // What a drag takes hold of: what is picked, by any part of it and a finger's width around, even behind another thing.
  grasp(x, y, hit, kind) {
    const thing = this.picked && this.things.get(this.picked);
    if (!thing?.at || this.mode === "wall" || hit?.name === this.picked || (hit && kind !== "touch")) return hit;
    const [left, top, right, foot] = this.outline(thing);
    if (x < left - FINGER_PX || x > right + FINGER_PX || y < top - FINGER_PX || y > foot + FINGER_PX) return hit;
    const plane = this.mode === "plan" ? new THREE.Plane(new THREE.Vector3(0, 0, 1), 0) : this.upright(thing.group.position);
    const point = this.ray(x, y).ray.intersectPlane(plane, new THREE.Vector3());
    return point ? { name: this.picked, point } : hit;
  },

  // Where a thing stands on the screen: left, top, right, foot.
  outline(thing) {
    const box = new THREE.Box3().setFromObject(thing.group), seen = this.$refs.canvas.getBoundingClientRect();
    const spots = [box.min.x, box.max.x].flatMap((x) => [box.min.y, box.max.y].flatMap((y) => [box.min.z, box.max.z].map((z) => {
      const spot = new THREE.Vector3(x, y, z).project(this.camera || this.lens());
      return [seen.left + (spot.x * 0.5 + 0.5) * seen.width, seen.top + (-spot.y * 0.5 + 0.5) * seen.height];
    })));
    const [across, along] = [spots.map((s) => s[0]), spots.map((s) => s[1])];
    return [Math.min(...across), Math.min(...along), Math.max(...across), Math.max(...along)];
  },

  hold(e) {
    if (e.touches.length !== 1) return;
    const { clientX: x, clientY: y } = e.touches[0], hit = this.grasp(x, y, this.hit(x, y), "touch");
    if (hit && hit.name === this.picked) e.preventDefault();
  },

  down(e) {
    this.touches.set(e.pointerId, [e.clientX, e.clientY]);
    if (this.touches.size === 2) { this.press = null; this.apart = this.spread(); return; }
    if (e.button !== 0) return;
    const hit = this.hit(e.clientX, e.clientY);
    this.press = { x: e.clientX, y: e.clientY, lastX: e.clientX, lastY: e.clientY, hit, going: false, id: e.pointerId };
    const held = this.grasp(e.clientX, e.clientY, hit, e.pointerType), thing = held && this.things.get(held.name);
    // A finger moves only what is picked already, so that a page can be scrolled past the view.
    const may = thing && thing.at && (e.pointerType !== "touch" || held.name === this.picked);
    if (may && this.mode !== "wall") {
      const at = thing.group.position;
      // Held high up it moves as if held lower: a level plane near the eye would run away under the hand.
      const level = Math.min(Math.max(held.point.z, 0), 0.5 * this.camera.position.z);
      this.press.thing = thing;
      this.press.grip = held.grip;
      this.press.plane = held.grip === "height" ? this.upright(at) : new THREE.Plane(new THREE.Vector3(0, 0, 1), -level);
      const from = this.ray(e.clientX, e.clientY).ray.intersectPlane(this.press.plane, new THREE.Vector3());
      this.press.off = from ? [at.x - from.x, at.y - from.y, (held.grip === "height" ? thing.top : 0) - from.z] : [0, 0, 0];
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
    this.swung = true;
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

  pick(name, tell, bring) {
    this.wanted = name;  // it may be a thing that the next scene brings
    this.picked = name && this.things.has(name) ? name : null;
    this.brought = bring ? name : null;
    if (bring) this.reveal();
    if (tell) this.$emit("pick", { name: this.picked });
    this.draw();
  },

  // On a wide page the view comes into sight, where the boxes stand beside it; on a narrow one the boxes do.
  reveal() {
    const wide = matchMedia("(min-width: 1100px)").matches, still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    const place = wide ? this.$el : document.querySelector(".nw-site-boxes");
    place?.scrollIntoView({ block: wide ? "nearest" : "start", behavior: still ? "auto" : "smooth" });
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
      screen: (name, part = 0.45) => {
        const thing = this.things.get(name), box = this.$refs.canvas.getBoundingClientRect();
        const at = thing.group.position, spot = new THREE.Vector3(at.x, at.y, this.mode === "plan" ? thing.top : part * thing.top).project(this.camera || this.lens());
        return [box.left + (spot.x * 0.5 + 0.5) * box.width, box.top + (-spot.y * 0.5 + 0.5) * box.height];
      },
      state: () => ({ serial: this.serial, share: this.share, picked: this.picked, mode: this.mode, waits: this.waits }),
      at: (name) => { const p = this.things.get(name).group.position; return [p.x, p.y]; },
    };
  },
};
