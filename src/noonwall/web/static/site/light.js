// The sun, the day's path and the lit glazing, as the server tells them.
import * as THREE from "three";
import { LIT } from "./looks.js";

export const light = {
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
    if (!this.lit) { this.lit = true; this.snug(); }  // the day's path is known now
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
    const far = this.mode === "wall" ? 300 : 1.05 * this.scene.reach;
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
};
