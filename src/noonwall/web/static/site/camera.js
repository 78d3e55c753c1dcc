// Where one looks from.
import * as THREE from "three";

export const camera = {
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
    this.swung = false;
    this.snug();
    this.draw();
  },

  // As near as lets everything into a window of this shape, labels and the corners' signs left room.
  snug() {
    if (!this.site || this.mode === "wall" || this.swung) return;
    if (this.mode === "plan") { this.snugPlan(); return; }
    const look = this.look, way = this.way();
    const right = new THREE.Vector3(0, 0, 1).cross(way).normalize(), up = new THREE.Vector3().crossVectors(way, right);
    const high = Math.tan((19 * Math.PI) / 180), wide = high * this.$el.clientWidth / Math.max(1, this.$el.clientHeight);
    const k = { left: 0.9 * wide, right: 0.9 * wide, top: 0.76 * high, foot: 0.92 * high };
    const far = { left: -1e9, right: -1e9, top: -1e9, foot: -1e9 };
    for (const spot of this.worthSeeing()) {
      const [x, y, near] = [spot.dot(right), spot.dot(up), spot.dot(way)];
      for (const [side, off] of [["left", -x], ["right", x], ["top", y], ["foot", -y]]) far[side] = Math.max(far[side], off + k[side] * near);
    }
    const away = Math.max((far.left + far.right) / (k.left + k.right), (far.top + far.foot) / (k.top + k.foot));
    const across = (far.right - far.left + (k.left - k.right) * away) / 2, along = (far.top - far.foot + (k.foot - k.top) * away) / 2;
    const at = right.multiplyScalar(across).addScaledVector(up, along), lift = (1.5 - at.z) / way.z;
    look.at = at.addScaledVector(way, lift);  // what one turns about lies near the ground
    look.far = away - lift;
  },

  snugPlan() {
    const box = new THREE.Box3().setFromPoints(this.worthSeeing()), middle = box.getCenter(new THREE.Vector3());
    const wide = this.$el.clientWidth / Math.max(1, this.$el.clientHeight), size = box.getSize(new THREE.Vector3());
    const half = Math.max(size.y / 1.7, size.x / (1.8 * wide));
    this.look.at = new THREE.Vector3(middle.x, middle.y + 0.06 * half, 0);  // the note takes the upper edge
    this.look.far = half / this.planShare(wide);
  },

  // Half the plan's height for one metre of how far one sees.
  planShare(wide) { return Math.max(1, 1 / wide) * (wide > 1 ? 0.62 : 0.8); },

  way() {
    const turn = (this.look.turn * Math.PI) / 180, rise = (this.look.rise * Math.PI) / 180;
    return new THREE.Vector3(Math.sin(turn) * Math.cos(rise), Math.cos(turn) * Math.cos(rise), Math.sin(rise));
  },

  worthSeeing() {
    const spots = this.scene.shop.corners.map((c) => new THREE.Vector3(...c));
    const hours = this.hours || [], noon = Math.floor(hours.length / 2);
    const beside = this.$el.clientWidth > this.$el.clientHeight * 1.3 ? 1 : 0;  // a narrow window has room for noon alone
    for (const hour of hours.slice(Math.max(0, noon - beside), noon + beside + 1)) spots.push(new THREE.Vector3(...hour.at));
    for (const thing of this.things.values()) {
      const box = new THREE.Box3().setFromObject(thing.group);
      if (box.isEmpty() || Math.hypot(thing.group.position.x, thing.group.position.y) > 1.2 * this.scene.reach) continue;
      for (const x of [box.min.x, box.max.x]) for (const y of [box.min.y, box.max.y]) for (const z of [box.min.z, box.max.z]) spots.push(new THREE.Vector3(x, y, z));
    }
    return spots;
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

  turn(by) { if (!this.site) return; this.swung = true; this.look.turn = (this.look.turn + by + 360) % 360; this.draw(); },
  zoom(by) {
    if (!this.site) return;
    const far = this.scene.reach;
    this.swung = true;
    this.look.far = Math.min(Math.max(this.look.far * by, 0.12 * far), 6 * far);
    this.draw();
  },

  // Look so that a thing which lies outside the frame is in it: pan or turn to it, and no farther off than it takes.
  meet(name) {
    const thing = this.things.get(name);
    if (!thing || !this.site) return;
    const box = new THREE.Box3().setFromObject(thing.group);
    if (box.isEmpty() || this.within(box)) return;
    const at = box.getCenter(new THREE.Vector3()), look = this.look;
    this.swung = true;
    if (this.mode === "wall") {
      const to = at.sub(look.at);
      look.turn = ((Math.atan2(to.x, to.y) * 180) / Math.PI + 360) % 360;
      look.rise = Math.min(Math.max((Math.atan2(to.z, Math.hypot(to.x, to.y)) * 180) / Math.PI, -20), 88);
      return;
    }
    look.at.set(at.x, at.y, this.mode === "plan" ? 0 : at.z);
    for (let i = 0; i < 12 && look.far < 6 * this.scene.reach && !this.within(box); i += 1) look.far *= 1.25;
  },

  // Whether the middle of a box is in the frame with most of what is round it.
  within(box) {
    const camera = this.lens();
    camera.updateMatrixWorld();
    const inside = (spot, most) => { const s = spot.clone().project(camera); return Math.abs(s.x) < most && Math.abs(s.y) < most && s.z < 1; };
    const { min, max } = box, middle = box.getCenter(new THREE.Vector3());
    const top = new THREE.Vector3(middle.x, middle.y, max.z), foot = new THREE.Vector3(middle.x, middle.y, min.z);
    return inside(middle, 0.9) && (this.mode === "wall" || (inside(top, 0.97) && inside(foot, 0.97)));
  },

  lens() {
    const look = this.look;
    const wide = this.$el.clientWidth / Math.max(1, this.$el.clientHeight);
    if (this.mode === "plan") {
      const half = look.far * this.planShare(wide);
      Object.assign(this.flat, { left: -half * wide, right: half * wide, top: half, bottom: -half });
      this.flat.position.set(look.at.x, look.at.y, 1000);
      this.flat.lookAt(look.at.x, look.at.y, 0);
      this.flat.updateProjectionMatrix();
      return this.flat;
    }
    const way = this.way();
    this.eye.aspect = wide;
    if (this.mode === "wall") {
      this.eye.fov = wide > 1 ? 62 : 88;
      this.eye.position.copy(look.at);
      this.eye.lookAt(look.at.clone().add(way));
    } else {
      this.eye.fov = 38;
      this.eye.position.copy(look.at).addScaledVector(way, look.far);
      this.eye.lookAt(look.at);
    }
    this.eye.updateProjectionMatrix();
    return this.eye;
  },
};
