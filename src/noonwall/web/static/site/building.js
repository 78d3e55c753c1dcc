// Builds what stands on the site, in the browser, from the scene that the server gives.
import * as THREE from "three";
import { PANEL, WORKS, EMBER } from "./looks.js";

export const building = {
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
};
