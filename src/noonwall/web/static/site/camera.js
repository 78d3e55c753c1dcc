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
};
